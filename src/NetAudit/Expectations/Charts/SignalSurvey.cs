using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Expectations;

/// <summary>The test signal at a stage of a healthy unit.</summary>
/// <param name="Stage">The stage.</param>
/// <param name="In">Level where it enters, volts RMS; NaN when the stage names no input.</param>
/// <param name="Out">Level where it leaves, volts RMS; NaN when the stage names no output.</param>
public sealed record StageLevel(Stage Stage, double In, double Out)
{
    /// <summary>Out over in; NaN when either is not known or nothing enters.</summary>
    public double Gain => In > 1e-9 ? Out / In : double.NaN;
}

/// <summary>
/// What the test signal of the sheet does in a healthy unit: its level along the signal path, and the response of the whole. Small signal,
/// nominal values.
/// </summary>
/// <param name="Frequency">Frequency of the levels, hertz.</param>
/// <param name="Source">Level of the source, volts RMS.</param>
/// <param name="Levels">Each stage of the signal path, in order.</param>
/// <param name="Output">Name of the node whose response is given.</param>
/// <param name="Response">Hertz, and volts at the output for a volt at the source.</param>
public sealed record SignalSurvey(
    double Frequency,
    double Source,
    ImmutableArray<StageLevel> Levels,
    string Output,
    ImmutableArray<(double Hertz, double Gain)> Response
)
{
    private const double Lowest = 10;
    private const double Highest = 100_000;
    private const int PointsADecade = 20;

    /// <summary>The survey; null when the sheet names no test signal or the circuit has no operating point.</summary>
    public static SignalSurvey? Of(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(amplifier);
        var circuit = amplifier.Circuit;
        if (
            amplifier.Sheet.Signal is not { } signal
            || circuit.FindElement(signal.Source) is not (>= 0 and var source)
        )
        {
            return null;
        }
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return null;
        }
        var stages = amplifier.Stages.Where(stage => !stage.IsSupply).ToArray();
        var output = OutputNode(amplifier, stages);
        LevelProbe[] probes =
        [
            .. stages
                .SelectMany(stage => new[] { stage.Input, stage.Output })
                .Append(output)
                .Select(node => new LevelProbe(Math.Max(node, 0), 0)),
        ];
        var meters = new SmallSignalWorkspace(workspace);
        var levels = new Complex[probes.Length];
        bool Read(double hertz, double volts) =>
            meters.Levels(hertz, [Excitation.OfSource(source, volts)], probes, [], levels, default);
        if (!Read(signal.Frequency, signal.Level))
        {
            return null;
        }
        double Level(int node, int probe) => node < 0 ? double.NaN : levels[probe].Magnitude;
        var along = stages
            .Select(
                (stage, i) =>
                    new StageLevel(stage, Level(stage.Input, 2 * i), Level(stage.Output, 2 * i + 1))
            )
            .ToImmutableArray();
        var response = ImmutableArray.CreateBuilder<(double, double)>();
        var count = (int)(Math.Log10(Highest / Lowest) * PointsADecade);
        for (var i = 0; i <= count; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var hertz = Lowest * Math.Pow(10, (double)i / PointsADecade);
            if (Read(hertz, 1))
            {
                response.Add((hertz, levels[^1].Magnitude));
            }
        }
        return new(
            signal.Frequency,
            signal.Level,
            along,
            circuit.Nodes[output].Name,
            response.ToImmutable()
        );
    }

    // Where the load is, if the netlist has one; else where the last stage says that the signal leaves.
    private static int OutputNode(Amplifier amplifier, Stage[] stages)
    {
        var load = amplifier
            .Parts.Where(part => part.Class == PartClass.Fixture)
            .SelectMany(part => part.Elements)
            .Select(element => amplifier.Circuit.Elements[element])
            .OfType<Resistor>()
            .SelectMany(resistor => resistor.Terminals)
            .Select(terminal => terminal.Node)
            .FirstOrDefault(node => node > 0);
        return load > 0 ? load : Math.Max(0, stages.LastOrDefault()?.Output ?? 0);
    }
}

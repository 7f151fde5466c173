using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Audits.Variants;

/// <summary>
/// Small-signal levels of an amplifier at its nominal operating point, controls as in the netlist, per volt of the test signal.
/// </summary>
internal sealed class SignalResponse
{
    private readonly ImmutableDictionary<double, Complex[]> _levels;

    private SignalResponse(ImmutableDictionary<double, Complex[]> levels) => _levels = levels;

    /// <summary>Frequencies of a response, hertz.</summary>
    public static ImmutableArray<double> Frequencies { get; } =
    [20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000];

    /// <summary>The response, or null when the circuit has no test signal or no operating point.</summary>
    public static SignalResponse? Of(Amplifier amplifier, CancellationToken cancellationToken)
    {
        var source = SourceOf(amplifier);
        var workspace = new Workspace(CompiledCircuit.Compile(amplifier.Circuit));
        if (source < 0 || !workspace.Solve([], cancellationToken).Converged)
        {
            return null;
        }
        var small = new SmallSignalWorkspace(workspace);
        var probes = Enumerable
            .Range(0, amplifier.Circuit.Nodes.Length)
            .Select(node => new LevelProbe(node, 0))
            .ToArray();
        Excitation[] signal = [Excitation.OfSource(source, 1)];
        var levels = ImmutableDictionary.CreateBuilder<double, Complex[]>();
        foreach (var frequency in Frequencies.Append(FrequencyOf(amplifier)).Distinct())
        {
            var found = new Complex[probes.Length];
            if (!small.Levels(frequency, signal, probes, [], found, []))
            {
                return null;
            }
            levels.Add(frequency, found);
        }
        return new(levels.ToImmutable());
    }

    /// <summary>Frequency of the test signal, hertz.</summary>
    public static double FrequencyOf(Amplifier amplifier) =>
        amplifier.Sheet.Signal?.Frequency ?? 1000;

    /// <summary>Level at a node in volts per volt of the test signal.</summary>
    public double At(int node, double frequency) => _levels[frequency][node].Magnitude;

    private static int SourceOf(Amplifier amplifier)
    {
        var circuit = amplifier.Circuit;
        if (amplifier.Sheet.Signal is { } signal)
        {
            return circuit.FindElement(signal.Source);
        }
        for (var i = 0; i < circuit.Elements.Length; i++)
        {
            if (circuit.Elements[i] is VoltageSource { Stimulus.AcMagnitude: > 0 })
            {
                return i;
            }
        }
        return -1;
    }
}

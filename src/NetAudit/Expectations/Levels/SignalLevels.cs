using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Expectations.Levels;

/// <summary>Level of the test signal at one point.</summary>
/// <param name="Point">The point.</param>
/// <param name="Volts">Volts RMS as the meter shows them, its load included.</param>
/// <param name="Phase">Degrees against the source.</param>
public sealed record PointLevel(Point Point, double Volts, double Phase);

/// <summary>What one stage does with the signal.</summary>
/// <param name="Name">Name of the stage.</param>
/// <param name="Input">Node where the signal enters.</param>
/// <param name="Output">Node where it leaves.</param>
/// <param name="Gain">Volts at the output per volt at the input.</param>
/// <param name="IsFedIn">True when the test signal does not get there and one was put in at the stage's own input.</param>
/// <param name="InputImpedance">Ohms that the stage's own parts put across its input.</param>
/// <param name="OutputImpedance">Ohms that the stage's own parts show at its output, the source silent.</param>
public sealed record StageSignal(
    string Name,
    int Input,
    int Output,
    Complex Gain,
    bool IsFedIn,
    Complex InputImpedance,
    Complex OutputImpedance
)
{
    /// <summary>Gain in decibels.</summary>
    public double Decibels => 20 * Math.Log10(Complex.Abs(Gain));
}

/// <summary>What reaches the loudspeaker or dummy load.</summary>
/// <param name="Name">Name of the load resistor.</param>
/// <param name="Ohms">Its resistance.</param>
/// <param name="Volts">Volts RMS across it, as long as nothing clips.</param>
/// <param name="OneWattVolts">Volts RMS of the source for one watt in the load.</param>
/// <param name="OutputImpedance">Ohms of the amplifier as the load sees it.</param>
public sealed record LoadSignal(
    string Name,
    double Ohms,
    double Volts,
    double OneWattVolts,
    Complex OutputImpedance
);

/// <summary>The test signal through a healthy amplifier, as long as it is small.</summary>
/// <param name="Source">Name of the source, or of the node it is fed into.</param>
/// <param name="Frequency">Hertz.</param>
/// <param name="Volts">Volts RMS of the source.</param>
/// <param name="Points">One for each point, in the order of <see cref="Amplifier.Points"/>.</param>
/// <param name="Stages">The stages that have an input and an output, along the signal path.</param>
/// <param name="InputImpedance">Ohms that the amplifier puts across the source; null when the signal is fed in elsewhere.</param>
/// <param name="Loads">The loads among the bench's fixtures.</param>
public sealed record SignalLevels(
    string Source,
    double Frequency,
    double Volts,
    ImmutableArray<PointLevel> Points,
    ImmutableArray<StageSignal> Stages,
    Complex? InputImpedance,
    ImmutableArray<LoadSignal> Loads
)
{
    /// <summary>The unit driven by that signal, to tell where it clips; null when it could not be followed.</summary>
    public DrivenLevels? Driven { get; init; }

    /// <summary>Follows the sheet's test signal, or says why that cannot be done.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="condition">Its condition; null is powered normally.</param>
    /// <param name="frequency">Hertz, above 0; null is that of the sheet.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static (SignalLevels? Levels, Diagnostic? Problem) Of(
        Amplifier amplifier,
        Condition? condition = null,
        double? frequency = null,
        CancellationToken cancellationToken = default
    )
    {
        var (bench, problem) = SignalBench.For(
            amplifier,
            condition ?? Condition.Normal,
            cancellationToken
        );
        if (bench is null)
        {
            return (null, problem);
        }
        if (bench.Scene.Signal is not { } signal)
        {
            return (
                null,
                SignalBench.Problem(
                    "The sheet names no test signal.",
                    "give the sheet a [signal] with source, frequency and level"
                )
            );
        }
        signal = frequency is { } other ? signal with { Frequency = other } : signal;
        return PointLevels(bench, signal) is { } points
            ? (
                new(
                    signal.Source >= 0
                        ? bench.Circuit.Elements[signal.Source].Name
                        : bench.Circuit.Nodes[signal.Node].Name,
                    signal.Frequency,
                    signal.Volts,
                    points,
                    StageSignals.Of(bench, signal),
                    EndSignals.InputOf(bench, signal),
                    EndSignals.LoadsOf(bench, signal)
                )
                {
                    Driven = DrivenLevels.Of(
                        amplifier,
                        condition ?? Condition.Normal,
                        frequency,
                        cancellationToken
                    ),
                },
                null
            )
            : (
                null,
                SignalBench.Problem(
                    "The circuit as drawn has no unique solution at this frequency."
                )
            );
    }

    private static ImmutableArray<PointLevel>? PointLevels(SignalBench bench, TestSignal signal)
    {
        var amplifier = bench.Amplifier;
        var probes = amplifier
            .Points.Select(point => new LevelProbe(
                point.Node,
                0,
                amplifier.Sheet.Meter.LoadOhms(signal.Volts)
            ))
            .ToArray();
        var levels = new Complex[probes.Length];
        var solved = bench.Small.Levels(
            signal.Frequency,
            [SignalBench.Exciting(signal, signal.Volts)],
            probes,
            [],
            levels,
            []
        );
        return solved
            ?
            [
                .. amplifier.Points.Select(
                    (point, i) =>
                        new PointLevel(
                            point,
                            Complex.Abs(levels[i]),
                            levels[i].Phase * 180 / Math.PI
                        )
                ),
            ]
            : null;
    }
}

using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.LargeSignal;

namespace NetAudit.Expectations;

/// <summary>The expected readings of a healthy unit, or what stands in their way.</summary>
/// <param name="Readings">
/// Of volts one for each point, in the order of <see cref="Amplifier.Points"/>; of ohms one across each part with two ends, then one for
/// each point that no part joins to chassis. Empty when there are none.
/// </param>
/// <param name="Problem">Why there are none; otherwise null.</param>
public sealed record Expectation(ImmutableArray<ExpectedReading> Readings, Diagnostic? Problem)
{
    /// <summary>The unit driven by the test signal, to tell where it clips; null for other kinds of readings, or when it could not be followed.</summary>
    public DrivenLevels? Driven { get; init; }

    /// <summary>Predicts volts DC at every point of an amplifier, powered normally.</summary>
    public static Expectation Of(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    ) => Of(amplifier, ReadingKind.Dc, Condition.Normal, cancellationToken);

    /// <summary>Predicts readings of one kind in one condition.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="kind">Volts DC, levels of the test signal, or ohms (with the power off).</param>
    /// <param name="condition">The condition.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static Expectation Of(
        Amplifier amplifier,
        ReadingKind kind,
        Condition condition,
        CancellationToken cancellationToken = default
    )
    {
        var (forecast, problem) = HealthyForecast.Prepare(amplifier, cancellationToken);
        var expectation =
            forecast?.Of(kind, condition, cancellationToken) ?? new Expectation([], problem);
        return kind == ReadingKind.Ac && expectation.Problem is null
            ? expectation with
            {
                Driven = DrivenLevels.Of(
                    amplifier,
                    condition,
                    cancellationToken: cancellationToken
                ),
            }
            : expectation;
    }
}

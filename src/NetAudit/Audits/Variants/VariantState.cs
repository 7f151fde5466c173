using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Simulation;

namespace NetAudit.Audits.Variants;

/// <summary>A circuit at its operating point.</summary>
internal sealed record VariantState(
    Amplifier Amplifier,
    OperatingPoint Point,
    IReadOnlyDictionary<int, ExpectedReading> Readings,
    IdleStresses? Stresses,
    SignalResponse? Signal
)
{
    public static VariantState Of(Amplifier amplifier, CancellationToken cancellationToken)
    {
        var point = new OperatingPointSolver().Solve(amplifier.Circuit, cancellationToken);
        if (!point.Converged)
        {
            return new(amplifier, point, new Dictionary<int, ExpectedReading>(), null, null);
        }
        return new(
            amplifier,
            point,
            Expectation
                .Of(amplifier, cancellationToken)
                .Readings.DistinctBy(reading => reading.Point.Node)
                .ToDictionary(reading => reading.Point.Node),
            IdleStresses.Of(amplifier, cancellationToken),
            SignalResponse.Of(amplifier, cancellationToken)
        );
    }
}

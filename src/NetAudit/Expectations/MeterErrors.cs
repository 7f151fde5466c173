using NetAudit.Circuits.Sheets;

namespace NetAudit.Expectations;

/// <summary>A meter's limits as standard deviations: within its limits every error is taken as equally likely.</summary>
internal static class MeterErrors
{
    /// <summary>Below a millivolt no model is right: one-sigma floor of every DC prediction, in volts.</summary>
    public const double ModelFloor = 1e-3;

    private static readonly double UniformSigma = 1 / Math.Sqrt(3);

    /// <summary>One sigma of the gain error that all DC readings of the meter share, as a fraction.</summary>
    public static double GainSigma(this Meter meter) => meter.Dc.OfReading * UniformSigma;

    /// <summary>One sigma of a DC reading's own error (counts and model floor), in volts.</summary>
    public static double OwnSigma(this Meter meter, double volts)
    {
        var counts = meter.Dc.Counts * meter.Dc.CountSize(volts) * UniformSigma;
        return Math.Sqrt(counts * counts + ModelFloor * ModelFloor);
    }
}

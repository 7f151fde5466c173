using NetAudit.Circuits.Sheets;

namespace NetAudit.Expectations;

/// <summary>A meter's limits as standard deviations: within its limits every error is taken as equally likely.</summary>
internal static class MeterErrors
{
    /// <summary>Below a millivolt no model is right: one-sigma floor of every DC prediction, in volts.</summary>
    public const double ModelFloor = 1e-3;

    /// <summary>
    /// One sigma of what the model leaves out of a level, as a fraction: tubes' amplification factors, strays, the meter's response
    /// (common practice, no source).
    /// </summary>
    public const double LevelModelError = 0.02;

    /// <summary>One sigma of noise and stray coupling in a level, volts RMS (common practice, no source).</summary>
    public const double LevelNoise = 3e-4;

    /// <summary>
    /// One sigma of a resistance reading as a fraction, beyond the meter's own: leakage of capacitors that charge, semiconductors near
    /// conduction (common practice, no source).
    /// </summary>
    public const double OhmsModelError = 0.01;

    /// <summary>One sigma of the resistance of leads and contacts, ohms.</summary>
    public const double ContactOhms = 0.2;

    /// <summary>
    /// One sigma of what a resistance that reads over-range may be, as a fraction, below the end of the range: meters end theirs at 40 to
    /// 60 Mohm, and little is certain there (common practice, no source).
    /// </summary>
    private const double OverRangeError = 0.1;

    private static readonly double UniformSigma = 1 / Math.Sqrt(3);

    /// <summary>The meter's accuracy in that function.</summary>
    public static MeterAccuracy AccuracyOf(this Meter meter, ReadingKind kind) =>
        kind switch
        {
            ReadingKind.Ac => meter.Ac,
            ReadingKind.Ohms => meter.Ohms,
            _ => meter.Dc,
        };

    /// <summary>One sigma of the gain error that all readings of one function share, as a fraction.</summary>
    public static double GainSigma(this Meter meter, ReadingKind kind) =>
        meter.AccuracyOf(kind).OfReading * UniformSigma;

    /// <summary>One sigma of a reading's own error (counts, noise, what the model leaves out), on the scale of its kind.</summary>
    /// <param name="meter">The meter.</param>
    /// <param name="row">The reading.</param>
    /// <param name="value">What it shows, volts or ohms.</param>
    public static double OwnSigma(this Meter meter, in Row row, double value)
    {
        var accuracy = meter.AccuracyOf(row.Kind);
        var shown = double.IsFinite(value) ? value : 0;
        // Near the end of a range the value may have been read on the next, where one count is ten times as much.
        var next = accuracy.Counts * 10 * accuracy.CountSize(shown);
        var counts = accuracy.Counts * accuracy.CountSize(Math.Abs(shown) + next) * UniformSigma;
        return row.Kind switch
        {
            ReadingKind.Ac => RowScale.Slope(row, value)
                * Norm(counts, LevelNoise, LevelModelError * value),
            ReadingKind.Ohms when double.IsPositiveInfinity(value) => OverRangeError,
            ReadingKind.Ohms => Norm(
                OhmsModelError,
                RowScale.Slope(row, value) * Norm(counts, ContactOhms, 0),
                0
            ),
            _ => Norm(counts, ModelFloor, 0),
        };
    }

    private static double Norm(double a, double b, double c) => Math.Sqrt(a * a + b * b + c * c);
}

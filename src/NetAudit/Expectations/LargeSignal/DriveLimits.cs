namespace NetAudit.Expectations.LargeSignal;

/// <summary>What of a drive sweep is wanted.</summary>
public sealed record DriveLimits
{
    /// <summary>
    /// Distortion at which an amplifier counts as clipping: 5 %, in which common practice states the power of tube amplifiers without
    /// naming a standard.
    /// </summary>
    public const double ClippingDistortion = 0.05;

    /// <summary>
    /// Gain lost at the fundamental at which it counts as clipping too, dB: the 1 dB compression point of common practice.
    /// </summary>
    public const double ClippingCompression = 1;

    /// <summary>Lowest drive, RMS volts; null for a tenth of the sheet's test signal.</summary>
    public double? From { get; init; }

    /// <summary>Highest drive, RMS volts; null to end a little above clipping.</summary>
    public double? To { get; init; }

    /// <summary>Levels a decade, at least 1.</summary>
    public int PerDecade { get; init; } = 5;
}

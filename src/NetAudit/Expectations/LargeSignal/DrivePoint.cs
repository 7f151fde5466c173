using System.Collections.Immutable;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>An amplifier in the steady state at one drive level.</summary>
/// <param name="Drive">RMS volts of the source.</param>
/// <param name="Settled">
/// Whether a steady state was reached; when not, the figures are those of the last period followed and not to be relied on.
/// </param>
/// <param name="Path">What each place of <see cref="DriveSetup.Path"/> carries; empty when the circuit could not be followed at all.</param>
/// <param name="Load">What the load carries, or the last place of the path when there is no load; null when <paramref name="Path"/> is empty.</param>
/// <param name="Watts">Mean power in the load, all harmonics counted; null without a load.</param>
public sealed record DrivePoint(
    double Drive,
    bool Settled,
    ImmutableArray<Spectrum> Path,
    Spectrum? Load,
    double? Watts
)
{
    /// <summary>Fundamental at the load over the drive; 0 when it is not known.</summary>
    public double Gain => Load is null ? 0 : Load.Fundamental / Drive;
}

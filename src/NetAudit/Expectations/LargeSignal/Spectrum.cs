using System.Collections.Immutable;
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>What one period of a waveform is made of.</summary>
/// <param name="Mean">DC, volts.</param>
/// <param name="Fundamental">RMS volts at the drive's frequency.</param>
/// <param name="Total">RMS volts of all but DC.</param>
/// <param name="Harmonics">RMS volts of the second and following harmonics.</param>
public sealed record Spectrum(
    double Mean,
    double Fundamental,
    double Total,
    ImmutableArray<double> Harmonics
)
{
    /// <summary>Harmonics that are listed, the second to this one.</summary>
    public const int Highest = 10;

    // Below this share of the fundamental the sum of squares is rounding.
    private const double LeastVolts = 1e-12;

    /// <summary>
    /// Total harmonic distortion: RMS of everything above the fundamental over the fundamental (IEC 60268-3's figure related to the
    /// fundamental), as a share. 0 without a fundamental.
    /// </summary>
    public double Distortion =>
        Fundamental > LeastVolts
            ? Math.Sqrt(Math.Max(0, Total * Total - Fundamental * Fundamental)) / Fundamental
            : 0;

    /// <summary>From equally spaced samples of exactly one period.</summary>
    public static Spectrum Of(ReadOnlySpan<double> samples)
    {
        var n = samples.Length;
        var lines = new Complex[n];
        for (var i = 0; i < n; i++)
        {
            lines[i] = samples[i];
        }
        Fourier.Forward(lines, FourierOptions.NoScaling);
        double Rms(int harmonic) => Math.Sqrt(2) * lines[harmonic].Magnitude / n;
        var total = 0.0;
        for (var k = 1; k < n / 2; k++)
        {
            total += Rms(k) * Rms(k);
        }
        return new(
            lines[0].Real / n,
            Rms(1),
            Math.Sqrt(total),
            [.. Enumerable.Range(2, Highest - 1).Select(Rms)]
        );
    }
}

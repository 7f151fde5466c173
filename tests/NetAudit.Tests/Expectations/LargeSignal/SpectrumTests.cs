using NetAudit.Expectations.LargeSignal;
using Xunit;

namespace NetAudit.Tests.Expectations.LargeSignal;

public class SpectrumTests
{
    private static double[] Period(Func<double, double> wave) =>
        [.. Enumerable.Range(0, 256).Select(i => wave(2 * Math.PI * i / 256))];

    [Fact]
    public void Levels_OfTwoSines_AreTheirRmsValues()
    {
        var spectrum = Spectrum.Of(Period(x => 5 + 2 * Math.Sin(x) + 0.1 * Math.Cos(3 * x)));
        Assert.Equal(5, spectrum.Mean, 1e-12);
        Assert.Equal(2 / Math.Sqrt(2), spectrum.Fundamental, 1e-12);
        Assert.Equal(0.1 / Math.Sqrt(2), spectrum.Harmonics[1], 1e-12);
        Assert.Equal(0.05, spectrum.Distortion, 1e-9);
    }

    /// <summary>A square wave's harmonics fall as 1/n: its distortion is sqrt(pi²/8 - 1) = 48.3 % (any table of Fourier series).</summary>
    [Fact]
    public void Distortion_OfSquareWave_IsThatOfItsSeries() =>
        Assert.Equal(
            Math.Sqrt(Math.PI * Math.PI / 8 - 1),
            Spectrum.Of(Period(x => x < Math.PI - 0.01 ? 1 : -1)).Distortion,
            0.01
        );
}

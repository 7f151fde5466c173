using System.Numerics;
using Xunit;

namespace NetAudit.Tests.Simulation.SmallSignal;

/// <summary>Gains of triode stages against the textbook formulas, the triode linear: mu, rp.</summary>
public class StageFormulaTests
{
    private static string Triode(double mu, double rp) =>
        FormattableString.Invariant($"VIN g 0 0\nG1 p k g k {mu / rp}\nRP p k {rp}\n");

    // Course page angelfire.com/electronic/funwithtubes/Basics_04_Triodes: 12AX7, mu 100, rp 80 k, plate load 220 k, next grid 470 k: 65.2.
    [Fact]
    public void CommonCathode_Bypassed_HasThePrintedGain()
    {
        var gain = StageLevel.At(
            Triode(100, 80e3) + "RK k 0 3.3k\nCK k 0 1\nRB p 0 220k\nRN p 0 470k",
            1000,
            "p"
        );
        Assert.Equal(65.2, gain, 0.05);
    }

    // The same page, without the bypass capacitor: mu Rbc / (rp + Rbc + Rk (mu + 1)) = 26.6.
    [Fact]
    public void CommonCathode_Unbypassed_HasThePrintedGain()
    {
        var gain = StageLevel.At(
            Triode(100, 80e3) + "RK k 0 3.3k\nRB p 0 220k\nRN p 0 470k",
            1000,
            "p"
        );
        Assert.Equal(26.6, gain, 0.05);
    }

    // The same page: 3 k loads.
    [Theory]
    [InlineData(60, 10.9e3, 12.9)]
    [InlineData(17, 7.7e3, 4.77)]
    [InlineData(41, 4.8e3, 15.8)]
    [InlineData(100, 80e3, 3.61)]
    public void CommonCathode_LowLoad_HasThePrintedGain(double mu, double rp, double printed)
    {
        var gain = StageLevel.At(Triode(mu, rp) + "VK k 0 0\nRB p 0 3k", 1000, "p");
        Assert.Equal(printed, gain, 0.006 * printed);
    }

    // Textbook formula: mu R / (rp + (mu + 1) R); output resistance rp / (mu + 1) beside R.
    [Theory]
    [InlineData(100, 80e3, 100e3)]
    [InlineData(17, 7.7e3, 22e3)]
    public void CathodeFollower_HasTheGainOfTheFormula(double mu, double rp, double load)
    {
        var gain = StageLevel.At(
            Triode(mu, rp) + FormattableString.Invariant($"VP p 0 0\nRK k 0 {load}"),
            1000,
            "k"
        );
        Assert.Equal(mu * load / (rp + (mu + 1) * load), gain, 1e-6);
    }

    // Textbook formula for equal loads R: both outputs mu R / (rp + (mu + 2) R), in opposite phase.
    [Theory]
    [InlineData(100, 80e3, 56e3)]
    [InlineData(17, 7.7e3, 22e3)]
    public void Cathodyne_HasEqualAndOppositeOutputs(double mu, double rp, double load)
    {
        var levels = StageLevel.Of(
            Triode(mu, rp) + FormattableString.Invariant($"RA p 0 {load}\nRK k 0 {load}"),
            1000,
            "p",
            "k"
        );
        var expected = mu * load / (rp + (mu + 2) * load);
        Assert.Equal(-expected, levels[0].Real, 1e-6);
        Assert.Equal(expected, levels[1].Real, 1e-6);
        Assert.Equal(0, Complex.Abs(levels[0] + levels[1]), 1e-6);
    }

    // Where the bypass capacitor meets rk' = Rk beside (rp + Rb) / (mu + 1): gain goes from the unbypassed to the bypassed figure.
    [Fact]
    public void CathodeBypass_HasItsCornersWhereTheFormulaPutsThem()
    {
        const double Mu = 100;
        const double Rp = 80e3;
        const double Load = 100e3;
        const double Cathode = 1.5e3;
        const double Farads = 1e-6;
        var seen = 1 / (1 / Cathode + (Mu + 1) / (Rp + Load));
        var pole = 1 / (2 * Math.PI * seen * Farads);
        var zero = 1 / (2 * Math.PI * Cathode * Farads);
        foreach (var frequency in new[] { 10.0, 100, 500, 1000, 10e3 })
        {
            var bare = Mu * Load / (Rp + Load + (Mu + 1) * Cathode);
            var expected =
                bare * new Complex(1, frequency / zero) / new Complex(1, frequency / pole);
            var gain = StageLevel.At(
                Triode(Mu, Rp) + "RK k 0 1.5k\nCK k 0 1u\nRB p 0 100k",
                frequency,
                "p"
            );
            Assert.Equal(Complex.Abs(expected), gain, 1e-5);
        }
    }
}

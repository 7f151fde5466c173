using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>Rectifiers with a reservoir, and a supply switched on, against ngspice's .tran (libngspice 39, reltol 1e-6).</summary>
public class RectifierTransientTests
{
    private const string Diode = ".model DR D(IS=5n N=1.8 RS=0.05 BV=1000 CJO=20p TT=4u)\n.end\n";

    [Theory]
    [InlineData("half-wave", "D1 a out DR\n")]
    [InlineData("full-wave", "D1 a out DR\nVB b0 0 SIN(0 -300 50)\nRB b0 b 60\nD2 b out DR\n")]
    public void Waveform_OfRectifierWithReservoir_IsThatOfNgspice(string name, string rectifier)
    {
        NgspiceRequirement.Check();
        var agreement = TransientAgreement.Of(
            $"{name}\nVA a0 0 SIN(0 300 50)\nRA a0 a 60\n{rectifier}C1 out 0 47u\nRL out 0 3k\n{Diode}",
            stop: 0.1,
            theirStep: 20e-6,
            ourStep: 0.5e-3
        );
        Assert.Empty(agreement.Differences(5e-3, 5e-3));
    }

    /// <summary>A choke-input filter rings at switch-on: peak volts and peak current of the source.</summary>
    [Fact]
    public void Surge_OfFilterWithChoke_IsThatOfNgspice()
    {
        NgspiceRequirement.Check();
        var agreement = TransientAgreement.Of(
            "surge\nVHT ht 0 PWL(0 0 100u 470)\nRHT ht b1 60\nC1 b1 0 100u\nR1 b1 lc 95\nL1 lc b2 5\nC2 b2 0 47u\nR2 b2 b3 10k\n"
                + "C3 b3 0 47u\nR3 b1 0 220k\n.end\n",
            stop: 0.5,
            theirStep: 50e-6,
            ourStep: 5e-3,
            amps: "VHT"
        );
        Assert.Empty(agreement.Differences(5e-3, 5e-3));
        var (difference, swing, _) = agreement.Largest("VHT", agreement.Ours.Amps(0));
        Assert.InRange(difference / swing, 0, 5e-3);
    }
}

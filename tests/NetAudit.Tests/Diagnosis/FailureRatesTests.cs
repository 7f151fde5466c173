using NetAudit.Circuits;
using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public class FailureRatesTests
{
    [Fact]
    public void Find_ResistorsValueFaults_AreTheUnit()
    {
        var sum = new[] { "open", "drifted", "short" }.Sum(mode =>
            FailureRates.Find(PartClass.Resistor, mode)
        );

        Assert.Equal(1, sum, 1e-12);
    }

    // MIL-HDBK-217F parts count, ground benign, as quoted in public texts: aluminium dry 0.029, plastic film 0.0041, film resistor
    // 0.0012 failures per 1e6 h; the table draws ratios together by their square root.
    [Theory]
    [InlineData(PartClass.Electrolytic, 0.029, "open", "short", "leaky", "dried-out")]
    [InlineData(PartClass.Capacitor, 0.0041, "open", "short", "leaky")]
    [InlineData(PartClass.Potentiometer, 0.05, "open", "short", "drifted")]
    [InlineData(PartClass.Winding, 0.0071, "open", "short", "drifted")]
    public void Find_ClassTotal_FollowsHandbook(
        PartClass partClass,
        double perMillionHours,
        params string[] modes
    )
    {
        var sum = modes.Sum(mode => FailureRates.Find(partClass, mode));

        Assert.Equal(Math.Sqrt(perMillionHours / 0.0012), sum, 0.05);
    }

    [Fact]
    public void Find_ModeAClassHasNot_IsZero() =>
        Assert.Equal(0, FailureRates.Find(PartClass.Resistor, "gassy"));

    [Fact]
    public void Find_TubeSocketJoint_IsLikelierThanAnOrdinaryOne() =>
        Assert.True(
            FailureRates.Find(PartClass.Tube, "open-joint")
                > 2 * FailureRates.Find(PartClass.Resistor, "open-joint")
        );
}

using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>Circuits whose structural pivots cancel exactly, against ngspice, which exchanges pivots as it goes.</summary>
public class CancellingPivotTests
{
    [Theory]
    [InlineData("V1 a 0 1\nR1 a in 1k\nR2 in out 1k\nE1 out 0 out in 1")]
    [InlineData(
        "V1 a 0 1\nR1 a in 1k\nR2 in out 1k\nB1 out 0 V=V(out)-V(in)\nR3 out 0 10k\nD1 in x DMOD\nR4 x 0 100\n.model DMOD D(IS=1n)"
    )]
    [InlineData(
        "V1 a 0 2\nR1 a p 1k\nR2 p x 2k\nE1 x 0 x q 1\nR3 q y 1k\nR4 q p 5k\nE2 y 0 y p 1\nR5 q 0 3k"
    )]
    public void OperatingPoint_AgreesWithNgspice(string cards)
    {
        NgspiceRequirement.Check();
        Assert.Empty(Agreement.OfText($"cancelling\n{cards}\n.end\n", "cancelling.cir"));
    }
}

using NetAudit.Reference.RandomNetlists;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>Generated circuits over all device kinds, against ngspice running live on the same text.</summary>
public class RandomCircuitTests
{
    private const int CircuitsEach = 20;

    [Theory]
    [InlineData(0)]
    [InlineData(20)]
    [InlineData(40)]
    [InlineData(60)]
    [InlineData(80)]
    [InlineData(100)]
    [InlineData(120)]
    [InlineData(140)]
    [InlineData(160)]
    [InlineData(180)]
    public void OperatingPoint_OfRandomCircuits_IsThatOfNgspice(int firstSeed)
    {
        NgspiceRequirement.Check();
        var differences = Enumerable
            .Range(firstSeed, CircuitsEach)
            .SelectMany(seed => Agreement.OfText(RandomNetlist.Make(seed), $"seed-{seed}.cir"));
        Assert.Empty(differences);
    }
}

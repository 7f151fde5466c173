using Xunit;

namespace NetAudit.Tests.Circuits.Points;

public class PointFinderTests
{
    [Theory]
    [InlineData("p2")]
    [InlineData("P2")]
    [InlineData("v1.6")]
    [InlineData("V1.6")]
    [InlineData("V1 pin 6 (plate)")]
    public void FindPoint_NodePinOrWords_GivesTheNode(string name)
    {
        var amplifier = Amplifiers.Sample("marram-5.cir");

        var point = amplifier.FindPoint(name);

        Assert.Equal("V1 pin 6 (plate)", point?.Name);
        Assert.Equal("p2", amplifier.Circuit.Nodes[point!.Node].Name);
    }

    [Fact]
    public void Find_SheetNamesPoint_ThatNameComesFirst()
    {
        var amplifier = Amplifiers.Of(
            "R1 a 0 1k\nV1 a 0 1",
            "[[point]]\nname = \"Test point 3\"\nnode = \"a\""
        );

        Assert.Equal("Test point 3", amplifier.FindPoint("A")!.Name);
        Assert.NotNull(amplifier.FindPoint("test point 3"));
    }

    [Theory]
    [MemberData(nameof(Amplifiers.Samples), MemberType = typeof(Amplifiers))]
    public void Find_Samples_EveryOuterNodeButChassisOnce(string netlist)
    {
        var amplifier = Amplifiers.Sample(netlist);

        var nodes = amplifier
            .Circuit.Nodes.Where(node => node.Index > 0 && !node.Internal)
            .Select(node => node.Index);
        Assert.Equal(nodes, amplifier.Points.Select(point => point.Node));
        var names = amplifier
            .Points.SelectMany(point => point.Aliases.Append(point.Name))
            .Select(name => name.ToUpperInvariant())
            .ToArray();
        Assert.Equal(names.Length, names.Distinct().Count());
    }
}

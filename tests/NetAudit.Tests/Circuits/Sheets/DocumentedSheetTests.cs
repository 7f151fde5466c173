using System.Text.RegularExpressions;
using NetAudit.Circuits.Sheets;
using Xunit;

namespace NetAudit.Tests.Circuits.Sheets;

/// <summary>What docs/file-formats.md says is what the program does.</summary>
public partial class DocumentedSheetTests
{
    private static readonly string Document = File.ReadAllText(
        Repository.File("docs/file-formats.md")
    );

    [Fact]
    public void Read_ExampleOfTheDocument_IsSound()
    {
        var example = Fence().Match(Document).Groups[1].Value;
        var cards = """
            .param volume=0.5
            .subckt ODD A G K
            G1 A K G K 1m
            .ends
            VIN in 0 DC 0 AC 20m
            R1 in g1 68k
            RGL g1 0 1Meg
            XV1A p1 g1 k1 12AX7
            R7 b1 p1 100k
            RK k1 0 1.5k
            C2 p1 v1 22n
            RVOLA v1 w1 {1Meg*(1-volume)+1}
            RVOLB w1 0 {1Meg*volume+1}
            XV1B b1 w1 k2 12AX7
            RK2 k2 0 100k
            XODD p3 k2 0 ODD
            R3 b1 p3 10k
            VHT ht 0 300
            RFUSE1 ht h1 0.1
            RSTBY h1 b1 0.1
            RJ1 p3 jk 0.1
            R4 jk 0 1Meg
            C1 b1 0 47u
            """;

        var amplifier = Amplifiers.Of(cards, example);

        Assert.Equal("Marram Example", amplifier.Sheet.Title);
        Assert.Equal("p3", amplifier.Circuit.Nodes[amplifier.FindPoint("v2.7")!.Node].Name);
    }

    [Fact]
    public void Keys_OfTolerances_AreAllInTheDocument() =>
        Assert.All(
            ToleranceTable.Default.Keys,
            key => Assert.Contains($"`{key}`", Document, StringComparison.Ordinal)
        );

    [GeneratedRegex("```toml\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Fence();
}

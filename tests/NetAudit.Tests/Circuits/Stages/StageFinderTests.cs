using NetAudit.Circuits;
using Xunit;

namespace NetAudit.Tests.Circuits.Stages;

public class StageFinderTests
{
    // How a reader of the schematic would divide the samples, without a sheet.
    [Theory]
    [InlineData(
        "marram-5.cir",
        "V1A gain stage: VIN R1 R2 XV1A R3 R4 C1",
        "Network into V1B: C2 RVOL",
        "V1B gain stage: R5 XV1B R6 R7 R8",
        "V2 output stage: C3 R9 R10 V2 R11 C4 R12 RT1P T1 RT1S RLOAD",
        "Supply: VHT RHT RFUSE1 C5 R13 C6 R14 C7 R15"
    )]
    [InlineData(
        "marram-20.cir",
        "V1A gain stage: VIN R1 R2 XV1A R3 R4 C1",
        "Network into V1B: C2 R5 C3 C4 RTRE RBAS R6 RVOL",
        "V1B gain stage: R7 XV1B R8 R9 C5",
        "V2A gain stage: C6 R10 R11 XV2A R12 R13 C7 R14 R15",
        "V2B cathodyne phase splitter: C8 R16 R17 XV2B R18 R19 R20",
        "V3 V4 output stage: C9 R21 R22 C10 R23 R24 V3 V4 R25 C11 R26 R27 RT1A T1 RT1B RT1S RLOAD",
        "Supply: VHT RHT RFUSE1 RSTBY C12 R28 C13 R29 C14 R30 C15 R31"
    )]
    public void Find_SampleWithoutSheet_DividesLikeAReader(string netlist, params string[] expected)
    {
        var amplifier = Amplifiers.Sample(netlist, withSheet: false);

        Assert.Equal(expected, amplifier.Stages.Select(Words));
    }

    [Fact]
    public void Find_ChannelsLoopAndSplitterWithoutSheet_NamesWhatTheyDo()
    {
        var amplifier = Amplifiers.Sample("marram-50-a.cir", withSheet: false);

        Assert.Equal(
            [
                "V1A gain stage",
                "V1B gain stage",
                "Network into V2B",
                "Network into V2A",
                "V2A gain stage",
                "V2B gain stage",
                "V3A cathode follower",
                "Network into V3B",
                "V3B gain stage",
                "Network into V4A V4B",
                "V4A V4B long-tailed pair",
                "V5 V6 output stage",
                "Supply VHT",
                "Supply VNEG",
            ],
            amplifier.Stages.Select(stage => stage.Name)
        );
    }

    [Fact]
    public void Find_TransistorsWithoutSheet_KnowsPairOutputAndRegulators()
    {
        var amplifier = Amplifiers.Sample("marram-line.cir", withSheet: false);

        Assert.Equal(
            [
                "Q1 gain stage",
                "Network into Q2 Q3",
                "Q2 Q3 differential pair",
                "Q4 Q5 Q6 gain stage",
                "Q7 Q8 output stage",
                "Supply VPOS",
                "Supply VNEG",
            ],
            amplifier.Stages.Select(stage => stage.Name)
        );
        Assert.Equal("Supply VPOS", amplifier.StageOf("Q9")!.Name);
    }

    [Fact]
    public void Find_SupplyWithoutFilterCapacitors_IsFoundByWhatItFeeds()
    {
        var amplifier = Amplifiers.Of(
            """
            VHT hv 0 300
            RD hv b1 10k
            R1 b1 p1 100k
            XV1A p1 g1 k1 12AX7
            R2 k1 0 1.5k
            R3 g1 0 1Meg
            C1 p1 g2 22n
            R4 g2 0 1Meg
            R5 b1 p2 100k
            XV1B p2 g2 k2 12AX7
            R6 k2 0 1.5k
            VIN g1 0 DC 0 AC 1
            """
        );

        Assert.Equal(
            [
                "V1A gain stage: R1 XV1A R2 R3 VIN",
                "V1B gain stage: C1 R4 R5 XV1B R6",
                "Supply: VHT RD",
            ],
            amplifier.Stages.Select(Words)
        );
    }

    [Fact]
    public void Find_StagesWrittenBackToFront_AreOrderedFromTheInput()
    {
        var amplifier = Amplifiers.Of(
            """
            VHT hv 0 300
            XV2 p2 g2 k2 12AU7
            R6 k2 0 1k
            R5 hv p2 47k
            C1 p1 g2 22n
            R4 g2 0 1Meg
            XV1 p1 in k1 12AU7
            R1 hv p1 47k
            R2 k1 0 1k
            R3 in 0 1Meg
            VIN in 0 DC 0 AC 1
            * feedback to the first cathode gives no short cut
            R7 p2x k1 47k
            C2 p2 p2x 1u
            """
        );

        Assert.Equal(
            ["V1A gain stage", "V2A gain stage", "Supply"],
            amplifier.Stages.Select(stage => stage.Name)
        );
        var first = amplifier.Stages[0];
        Assert.Equal(("in", "p1"), (Name(amplifier, first.Input), Name(amplifier, first.Output)));
    }

    [Fact]
    public void Find_ScreenWithBypassAndSharedCathode_StayInTheirStages()
    {
        var amplifier = Amplifiers.Of(
            """
            VHT hv 0 300
            R1 hv b1 10k
            C1 b1 0 10u
            R2 b1 p1 220k
            R3 b1 s1 1Meg
            C2 s1 0 1u
            XV1 p1 g1 k1 s1 EF86
            R4 k1 0 2.2k
            C3 k1 0 25u
            R5 g1 0 1Meg
            VIN g1 0 DC 0 AC 1
            """
        );

        Assert.Equal(
            ["V1 gain stage: R2 R3 C2 V1 R4 C3 R5 VIN", "Supply: VHT R1 C1"],
            amplifier.Stages.Select(Words)
        );
    }

    [Fact]
    public void Find_InputAfterCouplingCapacitorAndCascode_IsOneStage()
    {
        var amplifier = Amplifiers.Of(
            """
            VHT hv 0 300
            VIN in 0 DC 0 AC 1
            C1 in g1 22n
            R1 g1 0 1Meg
            XV1A mid g1 k1 12AX7
            R2 k1 0 1k
            XV1B p2 g2 mid 12AX7
            R3 hv p2 100k
            R4 hv g2 470k
            R5 g2 0 220k
            C2 g2 0 100n
            """
        );

        Assert.Equal(
            ["V1A V1B gain stage: VIN C1 R1 XV1A R2 XV1B R3 R4 R5 C2", "Supply: VHT"],
            amplifier.Stages.Select(Words)
        );
    }

    [Fact]
    public void Find_SheetNamesStage_TakesItsPartsAndTheRestFollows()
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");

        Assert.Equal(
            [
                "First gain stage",
                "Tone network",
                "Second gain stage",
                "Third gain stage",
                "Splitter",
                "Output stage",
                "Supply",
            ],
            amplifier.Stages.Select(stage => stage.Name)
        );
        // The sheet's output stage names neither the load nor the cathode capacitor's partners; they follow the tubes.
        Assert.Equal("Output stage", amplifier.StageOf("RLOAD")!.Name);
        Assert.Equal("Tone network", amplifier.StageOf("RVOLA")!.Name);
        Assert.Equal("Second gain stage", amplifier.StageOf("XV1B")!.Name);
        Assert.Equal("First gain stage", amplifier.StageOf("V1")!.Name);
    }

    [Theory]
    [MemberData(nameof(Amplifiers.Samples), MemberType = typeof(Amplifiers))]
    public void Find_Samples_EveryPartAndNodeIsInOneStage(string netlist)
    {
        foreach (var withSheet in new[] { true, false })
        {
            var amplifier = Amplifiers.Sample(netlist, withSheet);

            var parts = amplifier.Stages.SelectMany(stage => stage.Parts).ToArray();
            Assert.Equal(parts.Length, parts.Distinct(StringComparer.OrdinalIgnoreCase).Count());
            Assert.All(amplifier.Parts, part => Assert.NotNull(amplifier.StageOf(part.Name)));
            var nodes = amplifier.Stages.SelectMany(stage => stage.Nodes).Order();
            Assert.Equal(amplifier.Points.Select(point => point.Node).Order(), nodes);
        }
    }

    [Theory]
    [InlineData("R1 a 0 1k")]
    [InlineData("R1 0 0 1k\nR2 a 0 1k")]
    [InlineData("I1 0 a 1m\nR1 a b 1k\nC1 b 0 1n")]
    [InlineData("XV1 a a a 12AX7\nR1 a 0 1k")]
    [InlineData("Q1 a a 0 M\n.model M NPN\nR1 a 0 1k")]
    public void Find_OddCircuits_StillPlaceEveryPart(string cards)
    {
        var result = Amplifiers.Read(cards, null);

        var amplifier = result.Amplifier!;
        Assert.All(amplifier.Parts, part => Assert.NotNull(amplifier.StageOf(part.Name)));
    }

    private static string Words(Stage stage) => $"{stage.Name}: {string.Join(' ', stage.Parts)}";

    private static string Name(Amplifier amplifier, int node) => amplifier.Circuit.Nodes[node].Name;
}

using NetAudit.Circuits;
using Xunit;

namespace NetAudit.Tests.Circuits.Parts;

public class PartFinderTests
{
    [Theory]
    [InlineData("XV1A", "XV1B", "V1")]
    [InlineData("XV1_1", "XV1_2", "V1")]
    [InlineData("xv7a", "xv7b", "v7")]
    [InlineData("XU3_A", "XU3_B", "U3")]
    public void Find_TwoSectionsOfOneType_AreOneEnvelope(string a, string b, string name)
    {
        var amplifier = Amplifiers.Of(
            $"V1 hv 0 250\nR1 hv p1 100k\nR2 hv p2 100k\n{a} p1 0 0 12AX7\n{b} p2 0 k 12AX7\nR3 k 0 1k"
        );

        // A tube that would be called like the source V1 keeps its instance's name.
        var expected = name.Equals("V1", StringComparison.OrdinalIgnoreCase) ? a : name;
        var tube = Assert.Single(amplifier.Parts, part => part.Class == PartClass.Tube);
        Assert.Equal(expected, tube.Name);
        Assert.Equal(["A", "B"], tube.Sections.Select(section => section.Section));
        Assert.Equal([a, b], tube.Sections.Select(section => section.Instance));
        Assert.Equal("p1", NodeOf(amplifier, tube, "1"));
        Assert.Equal("p2", NodeOf(amplifier, tube, "6"));
        Assert.Equal("k", NodeOf(amplifier, tube, "8"));
        Assert.Null(NodeOf(amplifier, tube, "9"));
    }

    [Fact]
    public void Find_SectionsOfDifferentTypes_AreTwoEnvelopes()
    {
        var amplifier = Amplifiers.Of(
            "XV1A a b 0 12AX7\nXV1B c d 0 12AU7\nR1 a c 1k\nR2 b d 1k\nR3 a 0 1k\nR4 b 0 1k"
        );

        var tubes = amplifier.Parts.Where(part => part.Class == PartClass.Tube);
        Assert.Equal(["V1", "XV1B"], tubes.Select(tube => tube.Name));
    }

    [Fact]
    public void Find_SectionsOfSingleType_StayTwoTubes()
    {
        var amplifier = Amplifiers.Of(
            "XV3A a g 0 s EL84\nXV3B b g 0 s EL84\nR1 a b 1k\nR2 g s 1k\nR3 a 0 1k\nR4 s 0 1k"
        );

        var tubes = amplifier.Parts.Where(part => part.Class == PartClass.Tube);
        Assert.Equal(["V3A", "V3B"], tubes.Select(tube => tube.Name));
    }

    [Fact]
    public void Find_OneSectionOfTwin_LeavesOtherPinsWithoutNode()
    {
        var amplifier = Amplifiers.Of("XV2B a g 0 12AU7\nR1 a 0 1k\nR2 g 0 1k");

        var tube = amplifier.FindPart("V2")!;
        Assert.Equal("a", NodeOf(amplifier, tube, "6"));
        Assert.Null(NodeOf(amplifier, tube, "1"));
    }

    [Fact]
    public void Find_Rectifier_HasTwoSectionsAndBothPlates()
    {
        var amplifier = Amplifiers.Of("XV9 a b k GZ34\nR1 a b 1k\nR2 k 0 1k\nR3 a 0 1k");

        var tube = amplifier.FindPart("V9")!;
        Assert.Equal(["A", "B"], tube.Sections.Select(section => section.Section));
        // Pins 4 and 6 of a GZ34 are its plates, 8 the cathode (Mullard/Philips GZ34 data sheet).
        Assert.Equal(
            ["b", "a", "k"],
            new[] { "4", "6", "8" }.Select(pin => NodeOf(amplifier, tube, pin))
        );
    }

    [Fact]
    public void Find_TubeOfUnknownType_HasPinsByPortNames()
    {
        var amplifier = Amplifiers.Of(
            ".subckt MYTRIODE plate grid cathode\nG1 plate cathode grid cathode 1m\n.ends\n"
                + "XV1A a g 0 MYTRIODE\nXV1B b a k MYTRIODE\nR1 a 0 1k\nR2 g 0 1k\nR3 b 0 1k\nR4 k 0 1k"
        );

        var tube = Assert.Single(amplifier.Parts, part => part.Class == PartClass.Tube);
        Assert.Equal("V1", tube.Name);
        Assert.Equal("A.plate", tube.Pins[0].Name);
        Assert.Equal("b", NodeOf(amplifier, tube, "B.plate"));
    }

    [Fact]
    public void Find_SheetGivesTube_TakesItsSectionsAndPins()
    {
        var amplifier = Amplifiers.Of(
            "XLEFT a g 0 12AX7\nXRIGHT b g 0 12AX7\nR1 a b 1k\nR2 g 0 1k\nR3 a 0 1k",
            """
            [[tube]]
            name = "V7"
            sections = { XLEFT = "B", XRIGHT = "A" }
            [[tube]]
            name = "V8"
            sections = {}
            """
        );

        var tube = amplifier.FindPart("v7")!;
        Assert.Equal("b", NodeOf(amplifier, tube, "1"));
        Assert.Equal("a", NodeOf(amplifier, tube, "6"));
    }

    [Fact]
    public void Find_SheetGivesPins_UsesThem()
    {
        var amplifier = Amplifiers.Of(
            ".subckt ODD A G K\nG1 A K G K 1m\n.ends\nXV1 a g 0 ODD\nR1 a 0 1k\nR2 g 0 1k",
            """
            [[tube]]
            name = "V1"
            sections = { XV1 = "" }
            pins = { "5" = "XV1.plate", "2" = "XV1.grid", "3" = "XV1.cathode", "7" = "heater" }
            """
        );

        var tube = amplifier.FindPart("V1")!;
        Assert.Equal("a", NodeOf(amplifier, tube, "5"));
        Assert.Null(NodeOf(amplifier, tube, "7"));
        Assert.Equal("a", amplifier.Circuit.Nodes[amplifier.FindPoint("v1.5")!.Node].Name);
    }

    [Theory]
    [InlineData("RVOL_A a w 1k\nRVOL_B w 0 1k", "RVOL", PartClass.Potentiometer)]
    [InlineData("RVOLA a w 1k\nRVOLB w 0 1k", "RVOL", PartClass.Potentiometer)]
    [InlineData("R5_A a w 1k\nR5_B w 0 1k", "R5", PartClass.Potentiometer)]
    // Two resistors of one number are not a control; two from one node are not in line.
    [InlineData("R5A a w 1k\nR5B w 0 1k", "R5A", PartClass.Resistor)]
    [InlineData("RVOLA a w 1k\nRVOLB a 0 1k\nR1 w 0 1k", "RVOLA", PartClass.Resistor)]
    [InlineData(
        ".subckt POT a w b\nR1 a w 1k\nR2 w b 1k\n.ends\nXVOL a w 0 POT",
        "VOL",
        PartClass.Potentiometer
    )]
    [InlineData("L1 a 0 1\nL2 w 0 1\nK1 L1 L2 0.9\nR1 a w 1", "L1", PartClass.Winding)]
    [InlineData("LT1P a 0 1\nLT1S w 0 1\nK1 LT1P LT1S 0.9\nR1 a w 1", "T1", PartClass.Winding)]
    [InlineData("RCH a w 95\nLCH w 0 5", "RCH", PartClass.Winding)]
    [InlineData("C1 a 0 1u\nR1 a 0 1k", "C1", PartClass.Electrolytic)]
    [InlineData("C1 a 0 0.68u\nR1 a 0 1k", "C1", PartClass.Capacitor)]
    [InlineData("RLOAD a 0 8", "RLOAD", PartClass.Fixture)]
    [InlineData("VIN a 0 DC 0 AC 1\nR1 a 0 1k", "VIN", PartClass.Fixture)]
    [InlineData("VB a 0 -30\nR1 a 0 1k", "VB", PartClass.Supply)]
    public void Find_Cards_GivePart(string cards, string name, PartClass partClass)
    {
        var amplifier = Amplifiers.Of(cards + "\nR99 a 0 1k\nR98 a 0 1k");

        Assert.Equal(partClass, amplifier.Parts.Single(part => part.Name == name).Class);
    }

    [Fact]
    public void Find_SheetSaysWhatThingsAre_TakesItsWord()
    {
        var amplifier = Amplifiers.Of(
            "R1 a b 1\nR2 b c 0.1\nR3 c 0 8\nC1 c 0 4.7u\nR4 a d 1k\nR5 d 0 1k\nV9 a 0 10",
            """
            [part.C1]
            kind = "film"
            [part.BALANCE]
            kind = "potentiometer"
            elements = ["R4", "R5"]
            [[fuse]]
            name = "HT fuse"
            element = "R1"
            [[contact]]
            name = "Jack"
            element = "R2"
            [bench]
            fixtures = ["R3"]
            """
        );

        PartClass Class(string name) => amplifier.FindPart(name)!.Class;
        Assert.Equal(PartClass.Fuse, Class("R1"));
        Assert.Equal(PartClass.Contact, Class("R2"));
        Assert.Equal(PartClass.Fixture, Class("R3"));
        Assert.Equal(PartClass.Capacitor, Class("C1"));
        Assert.Equal(PartClass.Potentiometer, Class("BALANCE"));
        Assert.Equal("BALANCE", amplifier.FindPart("r5")!.Name);
    }

    [Fact]
    public void Find_BlockOfParts_KeepsNetlistSpelling()
    {
        var amplifier = Amplifiers.Of(
            ".subckt CHANNEL in out hv\nR3 hv out 100k\nXV1A out in 0 12AX7\n.ends\n"
                + "XCH1 a b hv CHANNEL\nR1 a 0 1Meg\nR2 b 0 1Meg\nVHT hv 0 250"
        );

        Assert.NotNull(amplifier.FindPart("XCH1.R3"));
        Assert.Equal(PartClass.Tube, amplifier.FindPart("XCH1.V1")!.Class);
    }

    [Theory]
    [MemberData(nameof(Amplifiers.Samples), MemberType = typeof(Amplifiers))]
    public void Find_Samples_EveryElementIsInOnePartAndNamesAreUnique(string netlist)
    {
        var amplifier = Amplifiers.Sample(netlist);

        var elements = amplifier.Parts.SelectMany(part => part.Elements).Order();
        Assert.Equal(Enumerable.Range(0, amplifier.Circuit.Elements.Length), elements);
        var names = amplifier.Parts.Select(part => part.Name.ToUpperInvariant()).ToArray();
        Assert.Equal(names.Length, names.Distinct().Count());
    }

    private static string? NodeOf(Amplifier amplifier, Part tube, string pin)
    {
        var found = tube.Pins.Single(candidate => candidate.Name == pin);
        Assert.Equal(found.Pin < 0, found.Node < 0);
        return found.Node < 0 ? null : amplifier.Circuit.Nodes[found.Node].Name;
    }
}

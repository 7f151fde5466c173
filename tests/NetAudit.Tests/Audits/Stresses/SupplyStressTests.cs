using NetAudit.Audits.Stresses;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Audits.Stresses;

/// <summary>Rectifiers and the mains fuse, where the sheet says what a supply is made of.</summary>
public sealed class SupplyStressTests
{
    private const string Cards = """
        VHT h 0 DC 300
        RFUSE h b 1
        C1 b 0 47u
        R1 b 0 3k
        """;

    [Theory]
    [InlineData("bridge", 1, 2)]
    [InlineData("full-wave", 2, 2)]
    [InlineData("half-wave", 2, 1)]
    public void Of_Rectifier_HasReverseVoltsOfItsCircuit(string circuit, int peaks, int shared)
    {
        var report = Report(Sheet(circuit, ""));

        // The textbook's peak inverse volts: the peak of the winding in a bridge, twice that of one half or of a half-wave's winding.
        var reverse = Line(report, StressKind.ReverseVolts);
        Assert.Equal(peaks * Math.Sqrt(2) * 230, reverse.Values[0], 6);
        Assert.Equal(1.1 * peaks * Math.Sqrt(2) * 230, reverse.Values[1], 6);
        Assert.Equal(1000, reverse.Item.Limit);
        var load = Line(report, StressKind.ForwardCurrent).Values[0] * shared;
        Assert.Equal(report.Fuses[0].Amps, load, 6);
        Assert.InRange(Line(report, StressKind.PeakCurrent).Values[0], 3 * load, 20 * load);
    }

    [Theory]
    // 230 V behind 20 ohm: V / (R sqrt(2)) in the winding, by turns 230 to 115 V twice that, and both halves of a centre-tapped one.
    [InlineData("bridge", 2 * 230 / (20 * 1.4142135623730951))]
    [InlineData("full-wave", 4 * 230 / (20 * 1.4142135623730951))]
    public void Of_ShortedRectifier_IsForTheMainsFuse(string circuit, double amps)
    {
        var report = Report(Sheet(circuit, "fuse = \"1A T\""));

        var idle = report.Fuses.Single(fuse => fuse is { Fuse: "Mains fuse", Event: "idle" });
        var shorted = report.Fuses.Single(fuse =>
            fuse is { Fuse: "Mains fuse", Event: "a rectifier of VHT shorted" }
        );
        Assert.Equal(amps, shorted.Amps - idle.Amps, 6);
        Assert.True(shorted.Opening!.Value.Opens);
        Assert.True(idle.Opening!.Value.Holds);
    }

    [Fact]
    public void Of_ShortedHalfWaveRectifier_PutsTheAlternatingVoltsOnTheFuse()
    {
        // 230 V over 20 ohm of winding, 1 ohm of fuse and 47 uF at 50 Hz (67.7 ohm): 3.24 A.
        var shorted = Report(Sheet("half-wave", ""))
            .Fuses.Single(fuse => fuse.Event == "a rectifier of VHT shorted");

        var reactance = 1 / (2 * Math.PI * 50 * 47e-6);
        Assert.Equal(230 / Math.Sqrt(21 * 21 + reactance * reactance), shorted.Amps, 6);
    }

    [Fact]
    public void Of_ShortThatOnlyAMainsFuseWouldSee_SaysThatNoneDoes()
    {
        var report = Report(Sheet("bridge", ""));

        Assert.Contains(
            report.Notes,
            note => note.EndsWith("a rectifier of VHT shorted", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Of_HeatedTubes_TakeTheirPartOfThePrimary()
    {
        // 12AX7: 12.6 V times 0.15 A, 1.89 W, 16.4 mA at 115 V (data sheet).
        var without = Report(Sheet("bridge", "fuse = \"1A T\"")).Fuses;
        var with = Report(
            Sheet("bridge", "fuse = \"1A T\""),
            Cards + "\nXV1A b g k 12AX7\nRG g 0 1Meg\nRK k 0 1Meg"
        ).Fuses;

        var more = Mains(with) - Mains(without);
        Assert.InRange(more, 1.89 / 115, 1.89 / 115 + 0.005);
        static double Mains(IEnumerable<FuseEvent> fuses) =>
            fuses.Single(fuse => fuse is { Fuse: "Mains fuse", Event: "idle" }).Amps;
    }

    private static string Sheet(string circuit, string mainsFuse) =>
        $"""
            [mains]
            nominal = 115
            sources = ["VHT"]
            {mainsFuse}
            [part.VHT]
            type = "1N4007"
            [[fuse]]
            name = "HT fuse"
            element = "RFUSE"
            rating = "315mA T"
            [[supply]]
            name = "Anode supply"
            source = "VHT"
            secondary = 230
            winding_resistance = 20
            circuit = "{circuit}"
            reservoir = "C1"
            frequency = 50
            """;

    private static StressReport Report(string sheet, string cards = Cards)
    {
        var read = Amplifiers.Read(cards, sheet);
        Assert.NotNull(read.Amplifier);
        return StressAnalysis.Of(read.Amplifier, TestContext.Current.CancellationToken).Report!;
    }

    private static StressLine Line(StressReport report, StressKind kind) =>
        report
            .Lines.Concat(report.Unrated)
            .Single(line => line.Item.Part == "VHT" && line.Item.Kind == kind);
}

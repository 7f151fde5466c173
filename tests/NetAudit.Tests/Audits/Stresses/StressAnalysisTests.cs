using NetAudit.Audits.Stresses;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Audits.Stresses;

/// <summary>Stresses worked out by hand, and those of data sheets.</summary>
public sealed class StressAnalysisTests
{
    [Fact]
    public void Of_Divider_HasThePowersOfOhmsLaw()
    {
        // 100 V over 20 kohm is 5 mA; each half gets 50 V, so 0.25 W.
        var report = Report("V1 a 0 100\nR1 a b 10k\nR2 b 0 10k", "[part.R1]\npower = \"0.5W\"");

        var line = Line(report, "R1", StressKind.Power);
        Assert.Equal(0.25, line.Values[0], 9);
        // 110 V at high mains: 0.3025 W, 60.5 % of half a watt.
        Assert.Equal(0.605, line.Ratio!.Value, 9);
        Assert.Equal("mains +10 %", report.Conditions[line.WorstCondition]);
    }

    [Fact]
    public void Of_PartWithoutLimit_IsUnratedNotPassed()
    {
        var report = Report("V1 a 0 100\nR1 a b 10k\nR2 b 0 10k\nC1 b 0 1u", null);

        Assert.Empty(report.Lines);
        Assert.Equal(["R1", "R2", "C1"], report.Unrated.Select(line => line.Item.Part).Distinct());
        Assert.All(report.Unrated, line => Assert.Null(line.Ratio));
    }

    [Fact]
    public void Of_ClassRating_HoldsWhereAPartHasNone()
    {
        var report = Report(
            "V1 a 0 100\nR1 a b 10k\nR2 b 0 10k",
            "[rating]\nresistor = \"0.5W\"\n[part.R1]\npower = \"1W\""
        );

        Assert.Equal(1, Line(report, "R1", StressKind.Power).Item.Limit);
        Assert.Equal(0.5, Line(report, "R2", StressKind.Power).Item.Limit);
    }

    [Fact]
    public void Of_DividerBiasedTransistor_HasTheTextbooksPower()
    {
        // A divider-biased stage of a textbook (FOSSEE companion 2330, example 5.6): VCC 25, 3.9k and 1k, RE 100, RC 150, VBE 0.7, base
        // current neglected: IC 44.02 mA, VC 18.40 V, VE 4.402 V, so 616 mW in the collector. Beta 5000 stands for no base current.
        var report = Report(
            "VCC b 0 25\nR1 b n 3.9k\nR2 n 0 1k\nQ1 c n e QN\nR3 b c 150\nR4 e 0 100\n.model QN NPN(IS=8e-14 BF=5000)",
            null
        );

        var power = report.Unrated.Single(line =>
            line.Item is { Part: "Q1", Kind: StressKind.Power }
        );
        Assert.Equal(0.616, power.Values[0], 0.01);
        var amps = report.Unrated.Single(line => line.Item.Kind == StressKind.CollectorCurrent);
        Assert.Equal(0.04402, amps.Values[0], 0.0005);
    }

    [Fact]
    public void Of_OutputPentodeAtItsPublishedPoint_DissipatesWhatTheSheetSays()
    {
        // EL84 data sheet: Va 250 V, Vg2 250 V, Vg1 -7.3 V: Ia 48 mA, Ig2 5.5 mA. So 12 W, 1.375 W, 53.5 mA. The fit of the tube is
        // within a few per cent.
        var report = Report("VA p 0 250\nVS s 0 250\nVG 0 g 7.3\nXV1 p g 0 s EL84", null);

        Assert.Equal(12, Line(report, "V1", StressKind.PlatePower).Values[0], 0.8);
        Assert.Equal(1.375, Line(report, "V1", StressKind.ScreenPower).Values[0], 0.25);
        Assert.Equal(0.0535, Line(report, "V1", StressKind.CathodeCurrent).Values[0], 0.004);
        // Limits of the same sheet: 12 W, 2 W, 65 mA.
        Assert.Equal(12, Line(report, "V1", StressKind.PlatePower).Item.Limit);
        Assert.Equal(2, Line(report, "V1", StressKind.ScreenPower).Item.Limit);
        Assert.Equal(0.065, Line(report, "V1", StressKind.CathodeCurrent).Item.Limit);
    }

    [Fact]
    public void Of_ElevatedHeaters_TakeTheirLevelFromTheCathode()
    {
        const string Cards = "VHT b 0 300\nXV1A b g k 12AX7\nR1 k 0 100k\nVG g 0 100\nR2 g 0 1Meg";

        var grounded = Line(Report(Cards, null), "V1", StressKind.HeaterCathodeVolts).Values[0];
        var raised = Line(
            Report(Cards, "[[heater]]\nname = \"H\"\ntubes = [\"V1\"]\nelevation = 40"),
            "V1",
            StressKind.HeaterCathodeVolts
        ).Values[0];

        Assert.InRange(grounded, 100, 105);
        Assert.Equal(grounded - 40, raised, 6);
    }

    [Fact]
    public void Of_GridLeaks_AreTheResistanceToTheReturn()
    {
        // Cathode bias: 470k alone. Fixed bias: 220k, then 15k to the source beside 27k to chassis, 9.643k together.
        const string Cards = """
            VHT b 0 300
            XV1 p g k s EL84
            RP b p 100
            RS b s 100
            RG g 0 470k
            RK k 0 150
            XV2 p2 g2 0 s2 EL84
            RP2 b p2 100
            RS2 b s2 100
            RG2 g2 bb 220k
            VN 0 n 30
            R1 n bb 15k
            R2 bb 0 27k
            """;
        var report = Report(Cards, null);

        var own = Line(report, "V1", StressKind.GridLeak);
        Assert.Equal(470e3, own.Worst, 1.0);
        Assert.Equal(1e6, own.Item.Limit);
        var other = Line(report, "V2", StressKind.GridLeak);
        Assert.Equal(220e3 + 15e3 * 27e3 / 42e3, other.Worst, 1.0);
        Assert.Equal(300e3, other.Item.Limit);
    }

    [Fact]
    public void Of_FixedBias_GivesTheTrimmersRange()
    {
        const string Cards = """
            .param trim=0.5
            VHT b 0 300
            XV1 p g 0 s EL84
            RP b p 100
            RS b s 100
            RG g bb 220k
            VN 0 n {10+8*trim}
            RN n bb 1k
            """;
        const string Sheet = "[[control]]\nname = \"Bias\"\nparam = \"trim\"";

        var bias = Assert.Single(Report(Cards, Sheet).Bias);

        Assert.Equal("Bias", bias.Control);
        var deepest = Report(Cards.Replace("trim=0.5", "trim=1", StringComparison.Ordinal), null);
        var shallowest = Report(
            Cards.Replace("trim=0.5", "trim=0", StringComparison.Ordinal),
            null
        );
        Assert.Equal(Line(deepest, "V1", StressKind.PlatePower).Values[0], bias.Least, 6);
        Assert.Equal(Line(shallowest, "V1", StressKind.PlatePower).Values[0], bias.Most, 6);
        Assert.InRange(bias.Idle, bias.Least, bias.Most);
    }

    [Fact]
    public void Of_ShortedReservoir_TellsTheFusesCurrent()
    {
        // 300 V over 100 ohm of winding and 1 ohm of fuse: 2.97 A, twelve times 250 mA.
        const string Cards = "VHT h 0 300\nRHT h f 100\nRFUSE f b 1\nC1 b 0 47u\nR1 b 0 10k";
        const string Sheet = "[[fuse]]\nname = \"HT\"\nelement = \"RFUSE\"\nrating = \"250mA T\"";

        var fuses = Report(Cards, Sheet).Fuses;

        Assert.Equal(
            ["idle", "reservoir C1 shorted", "switch-on"],
            fuses.Select(fuse => fuse.Event)
        );
        Assert.True(fuses[0].Opening!.Value.Holds);
        Assert.Equal(300.0 / 101, fuses[1].Amps, 6);
        Assert.Equal(0.3, fuses[1].Opening!.Value.Most);
    }

    [Fact]
    public void Of_ShortThatNoFuseSees_SaysSo()
    {
        var report = Report("VHT h 0 300\nRHT h b 100\nC1 b 0 47u\nR1 b 0 10k", null);

        Assert.Contains(
            report.Notes,
            note => note.Contains("reservoir C1 shorted", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Of_CircuitWithoutSolution_GivesTheReason()
    {
        var (report, problem) = StressAnalysis.Of(
            Amplifiers.Of("V1 a 0 1\nV2 a 0 2\nR1 a 0 1k"),
            TestContext.Current.CancellationToken
        );

        Assert.Null(report);
        Assert.Contains("V2 closes a loop", problem!.Message, StringComparison.Ordinal);
    }

    private static StressReport Report(string cards, string? sheet)
    {
        var read = Amplifiers.Read(cards, sheet);
        Assert.NotNull(read.Amplifier);
        return StressAnalysis.Of(read.Amplifier, TestContext.Current.CancellationToken).Report!;
    }

    private static StressLine Line(StressReport report, string part, StressKind kind) =>
        report
            .Lines.Concat(report.Unrated)
            .Single(line => line.Item.Part == part && line.Item.Kind == kind);
}

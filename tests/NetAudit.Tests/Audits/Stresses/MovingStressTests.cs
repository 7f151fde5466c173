using NetAudit.Audits.Stresses;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Audits.Stresses;

/// <summary>Stresses at clipping and at switch-on, worked out by hand.</summary>
public sealed class MovingStressTests
{
    // Two diodes that clip 10 V: below it the load has a tenth of the source.
    private const string Limiter = """
        VIN in 0 DC 0 AC 1 SIN(0 1 1k)
        RS in out 90
        RLOAD out 0 10
        D1 out hi DX
        D2 lo out DX
        VHI hi 0 10
        VLO lo 0 -10
        .model DX D(IS=1e-12)
        """;

    private const string LimiterSheet = """
        [signal]
        source = "VIN"
        frequency = 1000
        level = "1"
        [bench]
        fixtures = ["VIN", "RLOAD"]
        [mains]
        sources = ["VHI", "VLO"]
        """;

    [Fact]
    public void Of_DrivenResistor_HasTheMeanPowerOfASineAtTheOnset()
    {
        var report = Report(Limiter, LimiterSheet);

        var clipping = report.Conditions.IndexOf("clipping");
        Assert.True(clipping >= 0, string.Join("; ", report.Notes));
        var drive = report.Drive!;
        Assert.Equal("VIN", drive.Source);
        // The diodes take little of it at 1 dB: the source resistor has 0.9 of the drive squared over 90 ohms, and somewhat more.
        var power = Line(report, "RS", StressKind.Power).Values[clipping];
        var linear = Math.Pow(0.9 * drive.Volts, 2) / 90;
        Assert.InRange(power / linear, 1, 1.15);
        Assert.Equal(0, Line(report, "RS", StressKind.Power).Values[0], 9);
        // Each diode holds off the other's rail and 10 V of its own.
        Assert.InRange(Line(report, "D1", StressKind.ReverseVolts).Values[clipping], 20, 21);
    }

    [Fact]
    public void Of_CapacitorBehindAChoke_RisesAboveTheSupply()
    {
        // R, L, C in series on a step of 100 V: damping R/2 sqrt(C/L) = 0.05, overshoot exp(-pi 0.05 / sqrt(1 - 0.05²)) = 85.5 %.
        var report = Report(
            "VHT b 0 100\nR1 b n 100\nL1 n c 10\nC1 c 0 10u",
            "[part.C1]\nvoltage = \"160V\"\nkind = \"electrolytic\""
        );

        var surge = Line(report, "C1", StressKind.SurgeVolts);
        Assert.Equal(185.5, surge.Worst, 0.5);
        // IEC 60384-4 (from memory): 1.15 times a rating up to 315 V.
        Assert.Equal(184, surge.Item.Limit!.Value, 9);
        Assert.Equal("switch-on", report.Conditions[surge.WorstCondition]);
    }

    [Theory]
    [InlineData("250mA T", true, false)]
    [InlineData("63mA T", false, false)]
    [InlineData("32mA F", false, true)]
    public void Of_FuseThatFillsAReservoir_IsJudgedByItsMeltingHeat(
        string rating,
        bool holds,
        bool opens
    )
    {
        // 300 V through 100 ohm into 47 uF: half of C V² in 100 ohm is 0.0212 A²s. Gates of IEC 60127-2 at ten times the rating (T) hold
        // 0.02 s of (2.5 A)² = 0.125 A²s, or 0.01 s of (0.63 A)² = 0.004 A²s; 32 mA F is open after 0.02 s of (0.32 A)² = 0.002 A²s.
        var report = Report(
            "VHT b 0 300\nRHT b f 99\nRFUSE f c 1\nC1 c 0 47u",
            $"[[fuse]]\nname = \"HT\"\nelement = \"RFUSE\"\nrating = \"{rating}\""
        );

        var surge = Assert.Single(report.Fuses, fuse => fuse.Event == "switch-on");
        Assert.Equal(3, surge.Amps, 0.05);
        Assert.Equal(holds, surge.Opening!.Value.Holds);
        Assert.Equal(opens, surge.Opening!.Value.Opens);
    }

    [Fact]
    public void Of_ColdTube_IsHeldAgainstTheColdLimit()
    {
        // Without emission nothing drops volts in the plate load: the whole supply stands at the plate. 12AX7 data sheet: 550 V cold.
        var report = Report(
            "VHT b 0 400\nR1 b p 100k\nXV1A p g k 12AX7\nRG g 0 1Meg\nRK k 0 1.5k",
            null
        );

        var cold = Line(report, "V1", StressKind.ColdPlateVolts);
        Assert.Equal(400, cold.Worst, 0.5);
        Assert.Equal(550, cold.Item.Limit);
        Assert.True(Line(report, "V1", StressKind.PlateVolts).Worst < 300);
    }

    [Fact]
    public void Of_DrivenOutputTube_HasTheLimitsForADrivenOne()
    {
        // EL84 data sheet: screen 2 W, at peaks of the signal 4 W; EL34: plate 25 W, driven 27.5 W.
        var small = StressAnalysis
            .Of(Amplifiers.Sample("marram-5.cir"), TestContext.Current.CancellationToken)
            .Report!;

        Assert.Equal(2, Line(small, "V2", StressKind.ScreenPower).Item.Limit);
        Assert.Equal(4, Line(small, "V2", StressKind.DrivenScreenPower).Item.Limit);
        var screen = Line(small, "V2", StressKind.DrivenScreenPower);
        Assert.True(screen.Worst > Line(small, "V2", StressKind.ScreenPower).Values[0]);
    }

    [Fact]
    public void Of_CircuitWithoutSignal_SaysNothingOfClipping()
    {
        var report = Report("VHT b 0 100\nR1 b 0 10k", null);

        Assert.DoesNotContain("clipping", report.Conditions);
        Assert.Null(report.Drive);
        Assert.Contains(report.Notes, note => note.Contains("clipping", StringComparison.Ordinal));
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

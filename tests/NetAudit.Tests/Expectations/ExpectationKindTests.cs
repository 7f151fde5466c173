using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Expectations;

public class ExpectationKindTests
{
    private static readonly Amplifier Amplifier = Amplifiers.Sample("marram-20.cir");

    [Theory]
    [InlineData("R11", 470e3)]
    // 100 Ω beside the way back through the feedback resistor and the secondary.
    [InlineData("R14", 98.5)]
    [InlineData("R3", 100e3)]
    // Half the track beside the other half and the tone network; a coupling capacitor shows the way round it.
    [InlineData("RVOLA", 305e3)]
    [InlineData("C6", 1031e3)]
    public void Of_Ohms_AreThoseInTheCircuit(string part, double ohms)
    {
        var reading = Assert.Single(Ohms().Readings, r => r.Across == part);

        Assert.Equal(ReadingKind.Ohms, reading.Kind);
        Assert.InRange(reading.Mean, 0.98 * ohms, 1.02 * ohms);
        Assert.InRange(reading.Low, 0.5 * ohms, reading.Mean);
        Assert.InRange(reading.High, reading.Mean, 1.5 * ohms);
    }

    [Fact]
    public void Of_Levels_FollowTheSignal()
    {
        var once = Of(ReadingKind.Ac, "signal=1m");
        var twice = Of(ReadingKind.Ac, "signal=2m");

        var (a, b) = (At(once, "p1"), At(twice, "p1"));
        Assert.InRange(a.Mean, 20e-3, 100e-3);
        Assert.Equal(2 * a.Mean, b.Mean, 1e-6 * b.Mean);
        Assert.InRange(a.Low, 0.3 * a.Mean, a.Mean);
    }

    [Fact]
    public void Of_VoltsAtLowMains_AreLower()
    {
        var normal = At(Of(ReadingKind.Dc, ""), "b1");
        var low = At(Of(ReadingKind.Dc, "mains=85"), "b1");

        Assert.InRange(low.Mean / normal.Mean, 0.6, 0.8);
        // The wall voltage was set by hand: it spreads less.
        Assert.True(low.Sigma / low.Mean < 0.7 * normal.Sigma / normal.Mean);
        Assert.Equal("mains=85", low.Condition.Text);
    }

    [Theory]
    [InlineData(ReadingKind.Dc, "off", "nothing but resistance")]
    [InlineData(ReadingKind.Ac, "off", "nothing but resistance")]
    [InlineData(ReadingKind.Ohms, "", "power off")]
    [InlineData(ReadingKind.Ac, "signal=0", "0 V")]
    [InlineData(ReadingKind.Look, "", "meter")]
    public void Of_WhatCannotBe_SaysWhy(ReadingKind kind, string condition, string reason)
    {
        var expectation = Of(kind, condition);

        Assert.Empty(expectation.Readings);
        Assert.Contains(reason, expectation.Problem!.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_LevelsWithoutSheet_SaysWhatIsMissing()
    {
        var bare = Amplifiers.Sample("marram-20.cir", withSheet: false);

        var expectation = Expectation.Of(bare, ReadingKind.Ac, Condition.Normal);

        Assert.Contains("[signal]", expectation.Problem!.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(ReadingKind.Ohms, "off")]
    [InlineData(ReadingKind.Ac, "inject c1; Volume=0.7")]
    [InlineData(ReadingKind.Dc, "Standby=standby")]
    public void Empty_OfKindAndCondition_FilledInReadsBack(ReadingKind kind, string condition)
    {
        var expectation = Of(kind, condition);

        var sheet = ReadingsFile.Empty(Amplifier, expectation);
        var filled = sheet.Replace(
            $",{kind.Name()},,",
            $",{kind.Name()},1,",
            StringComparison.Ordinal
        );
        var read = ReadingsFile.ReadText(filled, "r.csv", Amplifier);

        Assert.Empty(read.Diagnostics);
        Assert.Equal(
            expectation.Readings.Select(r => Pair(r.Point.Node, r.RefNode)).Distinct().Order(),
            read.Readings.Select(r => Pair(r.Node, r.RefNode)).Distinct().Order()
        );
        Assert.All(read.Readings, r => Assert.Equal((kind, condition), (r.Kind, r.Condition.Text)));
    }

    private static (int, int) Pair(int a, int b) => (Math.Min(a, b), Math.Max(a, b));

    private static Expectation Ohms() => Of(ReadingKind.Ohms, "off");

    private static Expectation Of(ReadingKind kind, string condition) =>
        Expectation.Of(
            Amplifier,
            kind,
            ConditionText.Read(condition, Amplifier).Condition!,
            TestContext.Current.CancellationToken
        );

    private static ExpectedReading At(Expectation expectation, string node) =>
        expectation.Readings.First(r => r.At(Amplifier) == node);
}

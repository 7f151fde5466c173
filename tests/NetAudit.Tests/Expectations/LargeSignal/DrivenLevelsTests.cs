using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Expectations.LargeSignal;
using Xunit;

namespace NetAudit.Tests.Expectations.LargeSignal;

/// <summary>Whether levels are those of small signals; the drive itself is held against ngspice elsewhere.</summary>
public class DrivenLevelsTests
{
    private static readonly Amplifier Amplifier = AmplifierReader
        .Read(Repository.File("sample-circuits/marram-20.cir"))
        .Amplifier!;

    public static TheoryData<string> Samples =>
        ["marram-5", "marram-20", "marram-50-a", "marram-50-b", "marram-50-c", "marram-line"];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Of_SampleWithItsSheetsSignal_ClipsNowhere(string sample)
    {
        var amplifier = AmplifierReader
            .Read(Repository.File($"sample-circuits/{sample}.cir"))
            .Amplifier!;
        var driven = DrivenLevels.Of(
            amplifier,
            Condition.Normal,
            cancellationToken: TestContext.Current.CancellationToken
        );
        Assert.False(driven!.IsClipping);
    }

    [Fact]
    public void Of_TooMuchSignal_ClipsFromTheOutputStageOnAndNotBefore()
    {
        var driven = Driven("signal=5m");

        Assert.True(driven.Differs(Node("out")));
        Assert.True(driven.DrivenAt(Node("out")) < 0.7 * driven.SmallAt(Node("out")));
        Assert.False(driven.Differs(Node("p1")));
        Assert.False(driven.Differs(Node("p2")));
        // Clipping begins at 1.7 mV (drive).
        var clean = driven.FindCleanVolts(TestContext.Current.CancellationToken);
        Assert.InRange(clean!.Value, 0.4e-3, 1.7e-3);
    }

    [Fact]
    public void Of_SignalFedIn_ClipsWhereItWouldFromTheInput()
    {
        // The splitter's grid has 2 V of the sheet's 0.5 mV, and clipping begins at three times that.
        Assert.False(Driven("inject gs; signal=1").IsClipping);
        Assert.True(Driven("inject gs; signal=20").Differs(Node("out")));
    }

    [Fact]
    public void Of_VolumeTurnedDown_LeavesTheOutputClean() =>
        Assert.False(Driven("volume=0; signal=20m").IsClipping);

    [Fact]
    public void RoundBelow_Volts_FallsByOneTwoFive() =>
        Assert.Equal(
            [0.5e-3, 0.2e-3, 0.1e-3, 50e-6],
            DrivenLevels.RoundBelow(1e-3).Take(4).Select(v => Math.Round(v, 12))
        );

    private static int Node(string name) => Amplifier.Circuit.FindNode(name);

    private static DrivenLevels Driven(string condition) =>
        DrivenLevels.Of(
            Amplifier,
            ConditionText.Read(condition, Amplifier).Condition!,
            cancellationToken: TestContext.Current.CancellationToken
        )!;
}

using NetAudit.Audits.Findings;
using NetAudit.Circuits;
using NetAudit.Circuits.Blocks;
using NetAudit.Common;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Circuits.Blocks;

/// <summary>A circuit begun with building blocks is sound before anybody changes it.</summary>
public class CircuitSkeletonTests
{
    public static TheoryData<string> Chains =>
        [
            "gain,supply",
            "gain,volume,gain,single-ended,supply",
            "gain,tone,volume,gain,cathodyne,push-pull,supply-tube",
            "gain,follower,tone,volume,gain-unbypassed,long-tailed,push-pull,supply",
            "gain,treble-cut,volume,follower,supply",
            "volume,cathodyne,push-pull,supply",
            "gain,volume,long-tailed,push-pull,supply-tube",
            "transistor-gain,volume,gain,single-ended-6v6gt,supply",
            "gain,volume,transistor-gain,cathodyne,push-pull-6v6gt,supply-tube",
            "gain,tone,volume,gain,long-tailed,push-pull-6l6gc,supply-high",
            "gain,volume,long-tailed,push-pull-el34,supply-high",
        ];

    [Theory]
    [MemberData(nameof(Chains))]
    public void Skeleton_OfAChain_ReadsSolvesAndPassesTheAudit(string names)
    {
        var amplifier = Amplifier(names);
        var point = new OperatingPointSolver().Solve(amplifier.Circuit);
        Assert.True(point.Converged);
        Assert.Empty(point.Notes);
        Assert.Empty(
            CircuitAudit
                .Check(amplifier)
                .Where(finding => finding.Accepted is null)
                .Select(finding => finding.Message)
        );
    }

    [Fact]
    public void Blocks_All_StandInSomeTestedChain() =>
        Assert.Empty(
            BuildingBlock
                .All.Select(block => block.Name)
                .Except(Chains.SelectMany(row => row.Data.Split(',')))
        );

    [Fact]
    public void Skeleton_OfEveryTubeStage_IsBiased()
    {
        // Textbook stages idle between a fifth and four fifths of their rail, a volt or two on the cathode resistor.
        var amplifier = Amplifier(
            "gain,follower,volume,gain-unbypassed,cathodyne,push-pull,supply"
        );
        var volts = new OperatingPointSolver().Solve(amplifier.Circuit).NodeVolts;
        double At(string node) => volts[amplifier.Circuit.FindNode(node)];
        Assert.InRange(At("p1") / At("b4"), 0.5, 0.8);
        Assert.InRange(At("k1"), 0.8, 2);
        Assert.InRange(At("k2") / At("b4"), 0.1, 0.8);
        Assert.InRange(At("p4") / At("b3"), 0.5, 0.85);
        Assert.InRange(At("p5") - At("k5"), 60, 250);
        Assert.InRange(At("k6"), 7, 13);
    }

    // Volts from plate to cathode, and milliamperes of one tube, as the data sheets' typical operation has them, widely.
    [Theory]
    [InlineData("gain,volume,gain,single-ended-6v6gt,supply", "p4", "k4", 330, 30, 50)]
    [InlineData("gain,volume,cathodyne,push-pull-6v6gt,supply", "pa4", "k4", 270, 50, 90)]
    [InlineData("gain,volume,long-tailed,push-pull-6l6gc,supply-high", "pa4", "ka4", 1, 20, 55)]
    [InlineData("gain,volume,long-tailed,push-pull-el34,supply-high", "pa4", "ka4", 1, 20, 50)]
    public void Skeleton_OfEveryOutputStage_Idles(
        string names,
        string plate,
        string cathode,
        double ohms,
        double least,
        double most
    )
    {
        var amplifier = Amplifier(names);
        var volts = new OperatingPointSolver().Solve(amplifier.Circuit).NodeVolts;
        double At(string node) => volts[amplifier.Circuit.FindNode(node)];
        Assert.InRange(At(plate) - At(cathode), 220, 460);
        Assert.InRange(1000 * At(cathode) / ohms, least, most);
    }

    [Fact]
    public void Skeleton_OfATransistorStage_StandsInTheMiddle()
    {
        var amplifier = Amplifier("transistor-gain,volume,gain,supply");
        var volts = new OperatingPointSolver().Solve(amplifier.Circuit).NodeVolts;
        double At(string node) => volts[amplifier.Circuit.FindNode(node)];
        Assert.InRange(At("u1"), 22, 26);
        Assert.InRange(At("c1"), 8, 16);
        Assert.InRange(At("e1"), 1.5, 4);
    }

    [Theory]
    [InlineData("", "a chain is blocks")]
    [InlineData("supply", "a chain is blocks")]
    [InlineData("gain,gain", "a chain is blocks")]
    [InlineData("gain,supply,supply", "a chain is blocks")]
    [InlineData("gian,supply", "no block \"gian\"")]
    [InlineData("cathodyne,single-ended,supply", "gives two halves")]
    [InlineData("gain,push-pull,supply", "needs two halves")]
    [InlineData("push-pull,supply", "needs two halves")]
    [InlineData("single-ended,gain,supply", "cannot follow")]
    public void Chain_ThatIsNone_IsRefusedWithAMend(string names, string words)
    {
        var (chain, problem, mend) = BlockChain.Of(
            names.Split(',', StringSplitOptions.RemoveEmptyEntries)
        );
        Assert.Null(chain);
        Assert.Contains(words, problem, StringComparison.Ordinal);
        Assert.NotNull(mend);
    }

    private static Amplifier Amplifier(string names)
    {
        var (chain, problem, _) = BlockChain.Of(names.Split(','));
        Assert.True(chain is not null, problem);
        var skeleton = CircuitSkeleton.Of("Test", "test.cir", chain);
        var read = AmplifierReader.ReadText(
            CircuitReader.ReadText(skeleton.Netlist, "test.cir"),
            skeleton.Sheet,
            "test.sheet.toml"
        );
        Assert.DoesNotContain(read.Diagnostics, found => found.Severity > Severity.Note);
        return read.Amplifier!;
    }
}

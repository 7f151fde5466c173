using NetAudit.Audits.Variants;
using Xunit;

namespace NetAudit.Tests.Audits.Variants;

public sealed class VariantComparisonTests
{
    private const string Plain =
        "Divider\nV1 a 0 10\nR1 a b 1k\nR2 b 0 1k\nR3 b c 10k\nC1 c 0 1u\nR4 c 0 100k\n.end\n";

    [Fact]
    public void Of_ItSelf_FindsNothing()
    {
        var difference = Compare(Plain, Plain);

        Assert.False(difference.IsAnother);
        Assert.Empty(difference.RenamedUnits);
        Assert.All(difference.Voltages, voltage => Assert.Equal(0, voltage.Deviation, 9));
    }

    [Fact]
    public void Of_ValueAddedAndRemoved_FindsThem()
    {
        var second = Plain
            .Replace("R2 b 0 1k", "R2 b 0 3k", StringComparison.Ordinal)
            .Replace("R4 c 0 100k\n", "D1 c 0 DX\n.model DX D\n", StringComparison.Ordinal);

        var difference = Compare(Plain, second);

        var change = Assert.Single(difference.Changed);
        Assert.True(change.ValueChanged);
        Assert.Equal("R2", difference.Matching.First[change.Match.First].Name);
        Assert.Equal("R4", difference.Matching.First[Assert.Single(difference.Removed)].Name);
        Assert.Equal("D1", difference.Matching.Second[Assert.Single(difference.Added)].Name);
    }

    [Fact]
    public void Of_EndMoved_SaysFromWhereToWhere()
    {
        var second = Plain.Replace("R4 c 0", "R4 a 0", StringComparison.Ordinal);

        var difference = Compare(Plain, second);

        var change = Assert.Single(difference.Changed);
        var moved = Assert.Single(change.Moved);
        Assert.False(change.ValueChanged);
        Assert.Equal(VariantSamples.FromText(Plain).Circuit.FindNode("c"), moved.From);
    }

    [Fact]
    public void Of_ValueChanged_ComparesVoltsAndWatts()
    {
        var second = Plain.Replace("R2 b 0 1k", "R2 b 0 3k", StringComparison.Ordinal);

        var difference = Compare(Plain, second);

        // 10 V over 1 k and 1 k (3 k), with 110 k beside: by hand 4.9774 V and 7.4490 V, less the meter's load.
        var voltage = difference.Voltages.First(v => Math.Abs(v.First.Mean - 4.977) < 0.01);
        Assert.Equal(7.449, voltage.Second.Mean, 0.01);
        var heat = difference.Dissipations.Single(h =>
            difference.Matching.First[h.Match.First].Name == "R1"
        );
        Assert.Equal(Math.Pow(10 - 4.9774, 2) / 1000, heat.First, 1e-5);
        Assert.Equal(Math.Pow(10 - 7.4490, 2) / 1000, heat.Second, 1e-5);
    }

    [Fact]
    public void Of_TubeStages_HeatOfATubeIsWhatItsNeighboursBring()
    {
        var comparison = VariantComparison.Of([
            VariantSamples.Read("marram-5"),
            VariantSamples.Read("marram-5"),
        ]);

        var matching = comparison.Differences[0].Matching;
        var output = comparison
            .Differences[0]
            .Dissipations.Single(heat => matching.First[heat.Match.First].Name == "XV2");
        // The sample's notes: an EL84 at its limit, plate 12 W and screen about 1.5 W.
        Assert.InRange(output.First, 11, 15);
    }

    [Fact]
    public void Of_ThreeRevisions_TableHasAColumnForEach()
    {
        var comparison = VariantComparison.Of([
            VariantSamples.Read("marram-50-a"),
            VariantSamples.Read("marram-50-b"),
            VariantSamples.Read("marram-50-c"),
        ]);

        var line = ComparisonTable.Parts(comparison).Single(line => line.Name == "R10");
        var values = Enumerable
            .Range(0, 3)
            .Select(variant => ComparisonTable.UnitOf(comparison, line, variant)?.Value);
        Assert.Equal([470e3, 220e3, 330e3], values);
        Assert.All(comparison.Differences, difference => Assert.NotEmpty(difference.Gains));
        Assert.All(comparison.Differences, difference => Assert.NotEmpty(difference.Response));
    }

    private static VariantDifference Compare(string first, string second) =>
        VariantComparison
            .Of([VariantSamples.FromText(first), VariantSamples.FromText(second)])
            .Differences[0];
}

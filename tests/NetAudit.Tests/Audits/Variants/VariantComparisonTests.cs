using NetAudit.Audits.Stresses;
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
        var heat = difference.Stresses.Single(stress =>
            stress.Kind == StressKind.Power
            && difference.Matching.First[stress.Match.First].Name == "R1"
        );
        Assert.Equal(Math.Pow(10 - 4.9774, 2) / 1000, heat.First.Value, 1e-5);
        Assert.Equal(Math.Pow(10 - 7.4490, 2) / 1000, heat.Second.Value, 1e-5);
        Assert.Null(heat.First.Limit);
    }

    [Fact]
    public void Of_AnotherOutputTube_SetsItsLimitsBesideThoseOfTheFirst()
    {
        var comparison = VariantComparison.Of([
            VariantSamples.Read("marram-50-a"),
            VariantSamples.Read("marram-50-b"),
        ]);

        var plate = Row(comparison, "XV5", StressKind.PlatePower);
        // Data sheets: EL34 25 W, 6L6GC 30 W; the samples' notes: about 16 W and 18 W.
        Assert.Equal([25, 30], plate.Levels.Select(level => level!.Value.Limit!.Value));
        Assert.InRange(plate.Levels[0]!.Value.Value, 15, 17);
        Assert.InRange(plate.Levels[1]!.Value.Value, 17, 19);
        // The 6L6GC's grid leak is past its limit (0.1 Mohm with fixed bias), the EL34's is not: that comes first.
        var first = ComparisonTable.Stresses(comparison)[0];
        Assert.Equal(StressKind.GridLeak, first.Kind);
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

    private static StressRow Row(VariantComparison comparison, string unit, StressKind kind) =>
        ComparisonTable
            .Stresses(comparison)
            .Single(row => row.Unit.Name == unit && row.Kind == kind);

    private static VariantDifference Compare(string first, string second) =>
        VariantComparison
            .Of([VariantSamples.FromText(first), VariantSamples.FromText(second)])
            .Differences[0];
}

using NetAudit.Audits.Variants;
using Xunit;

namespace NetAudit.Tests.Audits.Variants;

/// <summary>The readings are of units that ngspice simulated, some with faults (sample-circuits/README.md).</summary>
public sealed class VariantIdentificationTests
{
    private static readonly string[] Samples = ["marram-50-a", "marram-50-b", "marram-50-c"];

    [Theory]
    [InlineData("marram-50-a-unit1", 0)]
    [InlineData("marram-50-a-unit2", 0)]
    [InlineData("marram-50-b-unit1", 1)]
    [InlineData("marram-50-b-unit2", 1)]
    public void Of_ReadingsOfAFaultyUnit_FindTheRevision(string unit, int revision)
    {
        var text = File.ReadAllText(Repository.File($"sample-circuits/readings/{unit}.csv"));

        var answer = Identify(text);

        Assert.Equal(revision, answer.Ranking[0].Variant);
        Assert.True(answer.Ranking[0].Probability > 0.99);
        Assert.Equal(1, answer.Ranking.Sum(ranked => ranked.Probability), 9);
    }

    [Fact]
    public void Of_ReadingThatAllRevisionsShare_IsUndecidedAndNamesOneThatDecides()
    {
        var answer = Identify("at,value\nk1,1.400\n");

        Assert.True(answer.Ranking[0].Probability < 0.6);
        var best = answer.Telling[0];
        Assert.True(best.Separation > 3);

        // Taken on the second circuit, that reading turns the ranking round.
        var second = answer.Ranking[1];
        var decided = Identify(
            FormattableString.Invariant($"at,value\nk1,1.400\n{best.At},{best.Second:0.00}\n")
        );
        Assert.Equal(second.Variant, decided.Ranking[0].Variant);
        Assert.True(decided.Ranking[0].Probability > second.Probability);
    }

    [Fact]
    public void Read_PointsOfNoCircuit_AreAnError()
    {
        var readings = VariantReadings.Read(
            "at,value\nnowhere,1\n",
            "r.csv",
            [.. Samples.Select(VariantSamples.Read)]
        );

        Assert.Equal(-1, readings.NamedBy);
        Assert.NotEmpty(readings.Diagnostics);
    }

    private static VariantIdentification Identify(string text)
    {
        var variants = Samples.Select(VariantSamples.Read).ToArray();
        return VariantIdentification.Of(variants, VariantReadings.Read(text, "r.csv", variants));
    }
}

using NetAudit.Diagnosis.NextReadings;
using NetAudit.Expectations;
using NetAudit.Tests.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.NextReadings;

/// <summary>What the outcomes of a reading would mean: suspects a, b, … of falling probability.</summary>
public sealed class OutcomeWordsTests
{
    private static readonly SmallBench Bench = new();

    [Fact]
    public void Why_NamesTheMostProbablePairThatItTellsApart()
    {
        // a and b predict about the same, c another.
        var words = Of([0.5, 0.3, 0.2], [10, 10.5, 20], [1, 1, 1]);

        Assert.Equal("splits a from c", words.Why());
    }

    [Fact]
    public void Why_NothingIsThreeStandardDeviationsApart_NarrowsOnly()
    {
        Assert.Equal("narrows the values of the suspects", Of([0.6, 0.4], [10, 13], [1, 1]).Why());
        Assert.Equal("splits a from b", Of([0.6, 0.4], [10, 13.1], [1, 1]).Why());
        // The wider of the two counts.
        Assert.Equal(
            "narrows the values of the suspects",
            Of([0.6, 0.4], [10, 13.1], [1, 2]).Why()
        );
        Assert.Equal(
            "narrows the values of the suspects",
            Of([0.6, 0.4], [13.1, 10], [2, 1]).Why()
        );
    }

    [Fact]
    public void Outcomes_GoByProbabilityAndNameTwo()
    {
        var words = Of([0.3, 0.25, 0.2, 0.15, 0.1], [5, 40, 41, 39, 80], [1, 1, 1, 1, 1]);

        // Together b, c and d are likelier than a.
        Assert.Equal(["40.00 V: b or c or 1 more", "5.000 V: a", "80.00 V: e"], words.Outcomes());
    }

    [Fact]
    public void Outcomes_BeyondThree_AreLeftOut() =>
        Assert.Equal(3, Of([0.4, 0.3, 0.2, 0.1], [5, 20, 40, 80], [1, 1, 1, 1]).Outcomes().Length);

    [Fact]
    public void Outcomes_AllAlike_AreNone() =>
        Assert.Empty(Of([0.5, 0.5], [10, 12], [1, 1]).Outcomes());

    [Fact]
    public void Why_ASuspectBesideItselfWithMore_IsWhatMoreItWouldShow()
    {
        var row = Bench.RowsAt("a")[0];
        OutcomeWords.Suspect[] suspects = [new("a", 0.8, null), new("also b", 0.2, "b")];
        var words = new OutcomeWords(
            new("a", Bench.Healthy.Scenes.Normal, row, 1),
            suspects,
            [5, 40],
            [1, 1]
        );

        Assert.Equal("would show b, which no reading has shown or ruled out", words.Why());
        Assert.Equal(["5.000 V: a", "40.00 V: also b"], words.Outcomes());
    }

    [Fact]
    public void Outcomes_OfListening_AreHeard()
    {
        var row = Row.Heard(1, 0.02);
        var suspects = new OutcomeWords.Suspect[] { new("a", 0.6, null), new("b", 0.4, null) };
        double[] means = [RowScale.Of(row, 2), RowScale.Of(row, 0)];
        ReadingCandidate heard = new("out", Bench.Healthy.Scenes.Normal, row, 1)
        {
            Kind = ReadingKind.Listen,
        };

        Assert.Equal(
            ["normal: a", "none: b"],
            new OutcomeWords(heard, suspects, means, [0.5, 0.5]).Outcomes()
        );
        Assert.Equal(
            ["2 V: a", "0 V: b"],
            new OutcomeWords(
                heard with
                {
                    Kind = ReadingKind.Ac,
                },
                suspects,
                means,
                [0.5, 0.5]
            ).Outcomes()
        );
    }

    private static OutcomeWords Of(double[] probabilities, double[] means, double[] sigmas) =>
        new(
            new("a", Bench.Healthy.Scenes.Normal, Bench.RowsAt("a")[0], 1),
            [
                .. probabilities.Select(
                    (p, i) => new OutcomeWords.Suspect(((char)('a' + i)).ToString(), p, null)
                ),
            ],
            means,
            sigmas
        );
}

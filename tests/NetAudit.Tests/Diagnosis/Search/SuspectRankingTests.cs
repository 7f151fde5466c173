using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>
/// From evaluated sets to suspects. R2 at 20 kΩ and R1 at 5 kΩ both leave 8 V at a and change nothing else, so nothing tells them apart.
/// </summary>
public sealed class SuspectRankingTests
{
    private static readonly string[] Nodes = ["a", "b", "c"];

    private readonly SmallBench _bench = new();

    [Fact]
    public void Of_SetsThatDiffer_IsBayes()
    {
        var ranking = Rank(
            Found(-1),
            Found(0, ("R2 drifted", 20e3)),
            Found(-2, ("R5 drifted", 20e3)),
            Found(-3, ("R2 drifted", 15e3), ("R5 drifted", 20e3))
        );

        double[] weights = [Math.Exp(-1), 1, Math.Exp(-2), Math.Exp(-3)];
        Assert.Equal(weights[0] / weights.Sum(), ranking.Healthy, 12);
        Assert.Equal(
            weights[1..].Select(w => w / weights.Sum()),
            ranking.Sets.Select(s => s.Probability),
            Close
        );
        Assert.Empty(ranking.HealthyEvaluation.Set.Members);
        Assert.All(ranking.Sets, set => Assert.Empty(set.Equivalents));
    }

    [Fact]
    public void Of_SetsThatNothingTellsApart_IsOneSuspectOfBothProbabilities()
    {
        var ranking = Rank(
            Found(-1),
            Found(-0.5, ("R1 drifted", 5e3)),
            Found(0, ("R2 drifted", 20e3)),
            Found(0.2, ("R5 drifted", 20e3))
        );

        var sum = Math.Exp(-1) + Math.Exp(-0.5) + 1 + Math.Exp(0.2);
        Assert.Equal(2, ranking.Sets.Length);
        // Together they are likelier than the likeliest alone.
        Assert.Equal(_bench.Set("R2 drifted").Key, ranking.Sets[0].Leading.Set.Key);
        Assert.Equal(
            _bench.Set("R1 drifted").Key,
            Assert.Single(ranking.Sets[0].Equivalents).Set.Key
        );
        Assert.Equal((1 + Math.Exp(-0.5)) / sum, ranking.Sets[0].Probability, 12);
        Assert.Equal(Math.Exp(0.2) / sum, ranking.Sets[1].Probability, 12);
    }

    [Fact]
    public void Of_SetsOfDifferentSize_AreSuspectsOfTheirOwn()
    {
        var ranking = Rank(
            Found(-1),
            Found(0, ("R2 drifted", 20e3)),
            // The same volts from two faults, neither of which is the other's.
            Found(-1, ("R1 drifted", 5e3), ("R5 drifted", 10e3))
        );

        Assert.Equal(2, ranking.Sets.Length);
        Assert.Equal(2, ranking.Sets[1].Leading.Set.Members.Length);
    }

    [Fact]
    public void Of_FurtherFaultThatShowsNowhere_IsDropped()
    {
        var ranking = Rank(
            Found(-1),
            Found(0, ("R2 drifted", 20e3)),
            // R5 as it should be.
            Found(0, ("R2 drifted", 20e3), ("R5 drifted", 10e3)),
            Found(0, ("R2 drifted", 20e3), ("R5 drifted", 13e3))
        );

        Assert.Equal(2, ranking.Sets.Length);
        Assert.Contains(ranking.Sets, s => s.Leading.Set.Members.Length == 1);
        Assert.Contains(ranking.Sets, s => s.Leading.Values.Any(v => Close(v, 13e3)));
        Assert.Equal(1, ranking.Healthy + ranking.Sets.Sum(s => s.Probability), 12);
        Assert.Equal(1 / (2 + Math.Exp(-1)), ranking.Sets[0].Probability, 12);
    }

    [Fact]
    public void Of_SingleFaultThatShowsNowhere_Stays()
    {
        var ranking = Rank(Found(0), Found(-1, ("R5 drifted", 10e3)));

        Assert.Equal(1 / (1 + Math.E), Assert.Single(ranking.Sets).Probability, 12);
    }

    [Theory]
    [InlineData(-13.9, true)]
    [InlineData(-14.1, false)]
    public void Of_SetFarBelowTheBest_IsLeftOutButTheHealthyUnitNever(double far, bool stays)
    {
        var ranking = Rank(
            Found(-40),
            Found(0, ("R2 drifted", 20e3)),
            Found(far, ("R5 drifted", 20e3))
        );

        Assert.Equal(stays ? 2 : 1, ranking.Sets.Length);
        Assert.InRange(ranking.Healthy, 1e-18, 1e-17);
    }

    [Fact]
    public void Of_SetThatDidNotSettle_IsLeftOut()
    {
        var unknown = Evaluation.Unknown(_bench.Set("R5 drifted"), [20e3]);

        var ranking = Rank(Found(0), unknown, Found(-1, ("R2 drifted", 20e3)));

        Assert.Equal(_bench.Set("R2 drifted").Key, Assert.Single(ranking.Sets).Leading.Set.Key);
    }

    [Theory]
    // 8 V on a 4000-count meter: two counts of 10 mV, and 1 mV.
    [InlineData(20e3, true)]
    [InlineData(20.1e3, true)]
    [InlineData(21e3, false)]
    public void Same_WithinTheMetersLastDigits_IsTrue(double ohms, bool same)
    {
        var distinguisher = Distinguisher();
        var one = Found(0, ("R2 drifted", 20e3));
        var other = Found(0, ("R2 drifted", ohms));

        Assert.Equal(same, distinguisher.Same(one, other));
        Assert.Equal(same, distinguisher.Same(other, one));
    }

    [Fact]
    public void Same_ShownOnlyWhereNoReadingWasTaken_IsFalse()
    {
        // Only c was read, and it reads the same; a would not.
        var distinguisher = Distinguisher("c");

        Assert.False(distinguisher.Same(Found(0), Found(0, ("R2 drifted", 20e3))));
    }

    private static bool Close(double x, double y) => Math.Abs(x - y) <= 1e-9 * Math.Abs(x);

    private SuspectRanking Rank(params Evaluation[] found) =>
        SuspectRanking.Of(found, Distinguisher());

    private Distinguisher Distinguisher(params string[] nodes) =>
        NetAudit.Diagnosis.Search.Distinguisher.Of(
            _bench.Healthy,
            [(_bench.Healthy.Scenes.Normal, _bench.RowsAt(nodes.Length > 0 ? nodes : Nodes))],
            default
        );

    private Evaluation Found(double logPosterior, params (string Fault, double Value)[] faults)
    {
        var set = _bench.Set([.. faults.Select(f => f.Fault)]);
        return new()
        {
            Set = set,
            Values =
            [
                .. set.Members.Select(m => faults.Single(f => _bench.Fault(f.Fault) == m).Value),
            ],
            Converged = true,
            LogPosterior = logPosterior,
        };
    }
}

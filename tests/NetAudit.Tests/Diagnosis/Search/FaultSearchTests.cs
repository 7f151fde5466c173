using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>The search as a whole, on a circuit small enough to try every pair.</summary>
public sealed class FaultSearchTests
{
    private static readonly string[] Nodes = ["a", "b", "c"];

    private readonly SmallBench _bench = new();

    public static TheoryData<string, double?, string, double?> Pairs =>
        new()
        {
            { "R2 drifted", 15e3, "R5 open", null },
            { "R1 open", null, "R4 drifted", 16e3 },
            { "R2 drifted", 16e3, "R4 drifted", 20e3 },
        };

    [Theory]
    [MemberData(nameof(Pairs))]
    public void Run_TwoFaults_NoSingleAndNoPairIsBetterThanTheBest(
        string first,
        double? firstValue,
        string second,
        double? secondValue
    )
    {
        double[] measured = _bench.Volts(Nodes, (first, firstValue), (second, secondValue));

        var found = _bench.Search(Nodes, measured).Run(2);

        AssertSound(found, 2);
        var best = found[0].LogPosterior;
        var refiner = new RobustRefiner(_bench.Evaluator(Nodes, measured), _bench.Start, default);
        var all = _bench.Classes.Where(c => c.Share > 1e-3).ToArray();
        var tried = 0;
        foreach (var one in all)
        {
            foreach (var other in all.Where(c => c.Index > one.Index))
            {
                if (FaultSet.Of(one).With(other) is { } set)
                {
                    Assert.True(
                        refiner.Refine(set, set.Middle).LogPosterior < best + 0.3,
                        string.Join(" + ", set.Members.Select(m => m.Identities[0].Fault))
                    );
                    tried++;
                }
            }
        }
        Assert.True(tried > 50);
    }

    [Fact]
    public void Run_ASingleFault_IsFirstAndSmallerThanWhatHoldsIt()
    {
        var found = _bench.Search(Nodes, _bench.Volts(Nodes, ("R5 open", null))).Run(3);

        AssertSound(found, 3);
        Assert.Equal(_bench.Set("R5 open").Key, found[0].Set.Key);
        // A pair is tried in any case.
        Assert.Contains(found, e => e.Set.Members.Length == 2);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Run_UpToSoManyFaults_FindsNoMore(int most)
    {
        double[] measured = _bench.Volts(
            Nodes,
            ("R2 drifted", 15e3),
            ("R4 drifted", 22e3),
            ("R5 drifted", 16e3)
        );

        var found = _bench.Search(Nodes, measured).Run(most);

        AssertSound(found, most);
        Assert.Equal(most, found.Max(e => e.Set.Members.Length));
    }

    [Fact]
    public void Run_WithoutAReading_WeighsSinglesByTheirShare()
    {
        var found = _bench.Search([], []).Run(3);

        AssertSound(found, 1);
        Assert.All(found, e => Assert.Equal(e.Set.LogPrior, e.LogPosterior, 6));
        Assert.Equal(_bench.Classes.Length, found.Count(e => e.Set.Members.Length == 1));
    }

    [Fact]
    public void Run_Quick_FindsTheSameFirst()
    {
        double[] measured = _bench.Volts(Nodes, ("R2 drifted", 15e3), ("R5 open", null));

        var full = _bench.Search(Nodes, measured).Run(2);
        var quick = _bench.Search(Nodes, measured, SearchEffort.Quick).Run(2);

        Assert.Equal(full[0].Set.Key, quick[0].Set.Key);
        Assert.True(quick.Count < full.Count);
    }

    [Fact]
    public void Run_OneFaultFarBetterThanTheRest_RefinesAsManySinglesAsItShould()
    {
        var effort = SearchEffort.Full with
        {
            RefinedSingles = 5,
            MostRefinedSingles = 7,
            RefinedBesideSlips = 0,
            Polishes = false,
        };

        var found = _bench.Search(Nodes, _bench.Volts(Nodes, ("R5 open", null)), effort).Run(1);

        Assert.InRange(found.Count(e => e.Set.Members.Length == 1), 5, 7);
        Assert.True(found[0].LogPosterior > found[2].LogPosterior + 5);
    }

    [Fact]
    public void Run_HardlyAPairForetold_FindsItByPolishing()
    {
        var effort = SearchEffort.Full with
        {
            EvaluatedSets = 0,
            EvaluatedSums = 0,
            AdditiveBases = 0,
        };
        double[] measured = _bench.Volts(Nodes, ("R2 drifted", 15e3), ("R5 open", null));

        var found = _bench.Search(Nodes, measured, effort).Run(2);

        Assert.Equal(_bench.Set("R2 drifted", "R5 open").Key, found[0].Set.Key);
        Assert.All(
            _bench.Search(Nodes, measured, effort with { Polishes = false }).Run(2),
            e => Assert.InRange(e.Set.Members.Length, 0, 1)
        );
    }

    [Fact]
    public void Run_HealthyReadings_LeavesTheHealthyUnitFirst()
    {
        var search = _bench.Search(Nodes, _bench.Volts(Nodes));

        Assert.Empty(search.Run(2)[0].Set.Members);
        Assert.Empty(search.Unknown);
    }

    private static void AssertSound(IReadOnlyList<Evaluation> found, int most)
    {
        Assert.Equal(found.Count, found.Select(e => e.Set.Key).Distinct().Count());
        Assert.Equal(
            found.Select(e => e.LogPosterior).OrderDescending(),
            found.Select(e => e.LogPosterior)
        );
        Assert.Contains(found, e => e.Set.Members.IsEmpty);
        Assert.All(found, e => Assert.InRange(e.Set.Members.Length, 0, most));
        Assert.All(found, e => Assert.True(e.Converged));
    }
}

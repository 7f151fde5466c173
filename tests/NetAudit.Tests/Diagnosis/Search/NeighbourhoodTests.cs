using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>Sets near one that explains part of the readings.</summary>
public sealed class NeighbourhoodTests
{
    private static readonly string[] Nodes = ["a", "b", "c"];

    private readonly SmallBench _bench = new();

    [Fact]
    public void Subsets_OfAPair_AreEitherAloneFromItsValuesAndFromTheMiddle()
    {
        var (neighbourhood, refiner) = Measured(("R2 drifted", 15e3));
        var pair = refiner.Refine(_bench.Set("R2 drifted", "R5 drifted"), [15e3, 12e3]);

        var subsets = neighbourhood.Subsets(pair).ToArray();

        string[] keys = [_bench.Set("R5 drifted").Key, _bench.Set("R2 drifted").Key];
        Assert.Equal([keys[0], keys[0], keys[1], keys[1]], subsets.Select(e => e.Set.Key));
        // The fault that is there pays for itself alone; the other does not.
        Assert.InRange(subsets[2].Values[0], 14e3, 16e3);
        Assert.InRange(subsets[3].Values[0], 14e3, 16e3);
        Assert.True(subsets[2].LogPosterior > pair.LogPosterior);
        Assert.True(subsets[0].LogPosterior < pair.LogPosterior - 10);
    }

    [Fact]
    public void Explore_OneOfTwoFaults_FindsTheOther()
    {
        AssertFinds(["R5 open"], 2, ("R2 drifted", 15e3), ("R5 open", null));
    }

    [Fact]
    public void Explore_OneOfAPairWrong_ExchangesIt()
    {
        AssertFinds(["R4 drifted", "R5 open"], 2, ("R2 drifted", 15e3), ("R5 open", null));
    }

    [Fact]
    public void Explore_OpenForResistive_ChangesItsKindAndAddsAnother()
    {
        AssertFinds(["R2 open"], 2, ("R2 drifted", 16e3), ("R5 open", null));
    }

    [Fact]
    public void Explore_NoRoomForAnother_FindsNoLargerSet()
    {
        var (neighbourhood, refiner) = Measured(("R2 drifted", 15e3), ("R5 open", null));

        Assert.Empty(neighbourhood.Explore(Refined(refiner, "R5 open"), 1));
        var found = neighbourhood.Explore(Refined(refiner, "R4 drifted", "R5 open"), 2).ToArray();
        Assert.NotEmpty(found);
        Assert.All(found, e => Assert.InRange(e.Set.Members.Length, 1, 2));
        Assert.Contains(found, e => e.Set.Members.Length == 2);
    }

    [Fact]
    public void Explore_SameCentreAgain_HasNothingMore()
    {
        var (neighbourhood, refiner) = Measured(("R2 drifted", 15e3), ("R5 open", null));
        var centre = Refined(refiner, "R5 open");

        Assert.NotEmpty(neighbourhood.Explore(centre, 2));
        Assert.Empty(neighbourhood.Explore(centre, 2));
    }

    private void AssertFinds(
        string[] from,
        int maxFaults,
        params (string Fault, double? Value)[] truth
    )
    {
        var (neighbourhood, refiner) = Measured(truth);
        var centre = Refined(refiner, from);

        var found = neighbourhood.Explore(centre, maxFaults).ToArray();

        Assert.InRange(found.Length, 1, 16);
        Assert.DoesNotContain(found, e => e.Set.Key == centre.Set.Key);
        Assert.Equal(found.Length, found.Select(e => e.Set.Key).Distinct().Count());
        var best = found.MaxBy(e => e.LogPosterior)!;
        Assert.Equal(_bench.Set([.. truth.Select(t => t.Fault)]).Key, best.Set.Key);
        Assert.True(best.LogPosterior > centre.LogPosterior);
    }

    private Evaluation Refined(RobustRefiner refiner, params string[] faults)
    {
        var set = _bench.Set(faults);
        return refiner.Refine(set, set.Middle);
    }

    private (Neighbourhood, RobustRefiner) Measured(params (string Fault, double? Value)[] truth) =>
        _bench.Neighbourhood(Nodes, _bench.Volts(Nodes, truth));
}

using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>The end of a search.</summary>
public sealed class PolishingTests
{
    private static readonly string[] Nodes = ["a", "b", "c"];

    private readonly SmallBench _bench = new();

    [Fact]
    public void Run_MembersThatDoNotPay_AreDropped()
    {
        var found = Polished(3, [("R2 drifted", 15e3)], ["R2 drifted", "R4 drifted", "R5 drifted"]);

        Assert.Equal(_bench.Set("R2 drifted").Key, Best(found).Set.Key);
        Assert.InRange(Best(found).Values[0], 14e3, 16e3);
    }

    [Fact]
    public void Run_WrongFault_FindsTheRightPairNearIt()
    {
        // First another fault for the wrong one, then the one that is missing.
        var found = Polished(2, [("R2 drifted", 16e3), ("R5 open", null)], ["R3 drifted"]);

        Assert.Equal(_bench.Set("R2 drifted", "R5 open").Key, Best(found).Set.Key);
    }

    [Fact]
    public void Run_OneFaultAtMost_AddsNone() =>
        Assert.All(
            Polished(1, [("R2 drifted", 16e3), ("R5 open", null)], ["R5 open"]),
            e => Assert.InRange(e.Set.Members.Length, 0, 1)
        );

    [Fact]
    public void Run_SetRefinedFromAPoorValue_IsRefinedFromOthers()
    {
        double[] measured = _bench.Volts(Nodes, ("R2 drifted", 16e3));
        var (neighbourhood, refiner) = _bench.Neighbourhood(Nodes, measured);
        var set = _bench.Set("R2 drifted");
        var poor = refiner.Refine(set, set.Middle) with { Values = [11e3] };
        List<Evaluation> found =
        [
            refiner.Refine(FaultSet.Healthy, []),
            poor with
            {
                LogPosterior = poor.LogPosterior - 5,
            },
        ];

        new Polishing(neighbourhood, refiner, found).Run(1);

        // From the middle, and from a value a quarter below and above.
        Assert.Equal(5, found.Count);
        Assert.InRange(Best(found).Values[0], 15e3, 17e3);
        Assert.Equal(poor.LogPosterior, Best(found).LogPosterior, 1);
    }

    private List<Evaluation> Polished(
        int maxFaults,
        (string Fault, double? Value)[] truth,
        string[] from
    )
    {
        var (neighbourhood, refiner) = _bench.Neighbourhood(Nodes, _bench.Volts(Nodes, truth));
        var set = _bench.Set(from);
        List<Evaluation> found =
        [
            refiner.Refine(FaultSet.Healthy, []),
            refiner.Refine(set, set.Middle),
        ];
        new Polishing(neighbourhood, refiner, found).Run(maxFaults);
        return found;
    }

    private static Evaluation Best(List<Evaluation> found) =>
        found.Where(e => e.Converged).MaxBy(e => e.LogPosterior)!;
}

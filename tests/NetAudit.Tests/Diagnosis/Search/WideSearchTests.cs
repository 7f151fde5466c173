using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

public class WideSearchTests
{
    private static readonly string[] Nodes = ["in", "a", "b", "c"];

    private readonly SmallBench _bench = new();

    [Fact]
    public void Run_Pair_FindsItFromTheReadingsAlone() =>
        Finds(3, ("R2 drifted", 16e3), ("R5 open", null));

    [Fact]
    public void Run_Triple_FindsItFromTheReadingsAlone() =>
        Finds(3, ("R2 drifted", 16e3), ("R3 drifted", 60e3), ("R5 drifted", 25e3));

    [Fact]
    public void Run_TwoFaultsAtMost_RefinesPairsOnly() =>
        Assert.All(
            Found(2, ("R2 drifted", 16e3), ("R5 open", null)),
            e => Assert.Equal(2, e.Set.Members.Length)
        );

    [Fact]
    public void Run_OneFaultAtMost_FindsNothing() => Assert.Empty(Found(1, ("R5 open", null)));

    private void Finds(int maxFaults, params (string Fault, double? Value)[] truth)
    {
        var key = _bench.Set([.. truth.Select(t => t.Fault)]).Key;
        var found = Found(maxFaults, truth).Where(e => e.Converged).ToArray();

        // Any two resistors of a chain give the same two ratios, so there are others as good.
        var best = found.Max(e => e.LogPosterior);
        Assert.Contains(found, e => e.Set.Key == key && e.LogPosterior > best - 1);
    }

    private IReadOnlyList<Evaluation> Found(
        int maxFaults,
        params (string Fault, double? Value)[] truth
    )
    {
        var evaluator = _bench.Evaluator(Nodes, _bench.Volts(Nodes, truth));
        var refiner = new RobustRefiner(evaluator, _bench.Start, default);
        var extensions = _bench.Extensions(evaluator, Nodes);
        refiner.Calibrate();
        return new WideSearch(evaluator, refiner, extensions, _bench.Start, default).Run(maxFaults);
    }
}

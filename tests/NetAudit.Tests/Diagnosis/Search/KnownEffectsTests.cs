using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>Which single faults and pairs are chosen by known effects, against solving each fault again.</summary>
public sealed class KnownEffectsTests
{
    private static readonly string[] Nodes = ["a", "b", "c"];

    private static readonly SearchEffort All = new();

    private readonly SmallBench _bench = new();
    private readonly Model _model;
    private readonly double[] _measured;

    public KnownEffectsTests()
    {
        _model = _bench.Model(Nodes);
        _measured = _model.Volts(_bench.Set("R2 drifted", "R5 open"), [15e3, Value("R5 open")]);
    }

    [Fact]
    public void Prepare_EveryFault_HoldsWhatItChanges()
    {
        var (known, _) = Known(_measured);
        var healthy = _model.Volts(FaultSet.Healthy, []);

        Assert.Equal(
            _bench.Classes.SelectMany(c => c.Range.Grid.Select(v => (c.Index, v))),
            known.Faults.Select(f => (f.Class.Index, f.Value))
        );
        Assert.All(known.Settled, Assert.True);
        var singles = new SingleEffects(_bench.Classes, _bench.Healthy);
        var rows = _bench.RowsAt(Nodes);
        singles.Prepare(_bench.Healthy.Scenes.Normal, rows, default);
        for (var i = 0; i < known.Faults.Length; i++)
        {
            var (fault, value) = known.Faults[i];
            var change = Model.Minus(_model.Volts(FaultSet.Of(fault), [value]), healthy);
            for (var row = 0; row < rows.Length; row++)
            {
                var held = singles.ChangesOf(_bench.Healthy.Scenes.Normal, rows[row])[i];
                Assert.Equal(change[row], held, 1e-3);
            }
            Assert.Equal(change.Any(c => Math.Abs(c) > 1e-9), known.Changes(i));
        }
    }

    [Fact]
    public void Score_EachFault_IsWhatItTakesOffTheMisfitAtItsBestAmount()
    {
        var (known, evaluator) = Known(_measured);
        known.Score(evaluator);
        var healthy = _model.Volts(FaultSet.Healthy, []);
        var density = Model.Covariance(_model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(_measured, healthy);
        var before = density.Between(residual, residual);
        var free = 0;

        for (var i = 0; i < known.Faults.Length; i++)
        {
            var (fault, value) = known.Faults[i];
            var change = Model.Minus(_model.Volts(FaultSet.Of(fault), [value]), healthy);
            var amount = known.Amounts[i];
            var rest = Model.Minus(residual, [.. change.Select(c => amount * c)]);
            Assert.Equal(
                0.5 * (before - density.Between(rest, rest)),
                known.Gains[i],
                0.01 * before
            );
            // A value that is free reaches to the ends of its cell.
            var half = fault.Range.IsContinuous
                ? Math.Exp(0.5 * fault.Range.LogWidth / fault.Range.Grid.Length)
                : 1;
            Assert.InRange(amount, 1 / half - 1e-12, half + 1e-12);
            free += fault.Range.IsContinuous && Math.Abs(amount - 1) > 1e-6 ? 1 : 0;
        }
        Assert.True(free > 3);
    }

    [Theory]
    [InlineData(2, 4, 0.5)]
    [InlineData(100, 4, 1.5)]
    [InlineData(-3, 4, 1 / 1.5)]
    public void Amount_OfAFreeValue_IsTheBestWithinItsCell(double along, double square, double best)
    {
        var (known, _) = Known(_measured);
        var fault = Enumerable
            .Range(0, known.Faults.Length)
            .First(i => known.Faults[i].Class.Range.IsContinuous);
        var range = known.Faults[fault].Class.Range;
        var half = Math.Exp(0.5 * range.LogWidth / range.Grid.Length);

        var amount = known.Amount(fault, along, square);

        Assert.Equal(
            best switch
            {
                > 1 => half,
                0.5 => Math.Max(0.5, 1 / half),
                _ => 1 / half,
            },
            amount,
            12
        );
        Assert.Equal(1, known.Amount(fault, along, 0));
        var whole = Enumerable
            .Range(0, known.Faults.Length)
            .First(i => !known.Faults[i].Class.Range.IsContinuous);
        Assert.Equal(1, known.Amount(whole, along, square));
    }

    [Fact]
    public void BestPairs_OfFaultsWithoutAFreeValue_AreThoseOfAllPairs()
    {
        var (known, evaluator) = Known(_measured);
        var selection = new SingleSelection(
            known,
            evaluator,
            All with
            {
                Paired = 10_000,
                Pairs = 40,
            },
            withPairs: true
        );

        var healthy = _model.Volts(FaultSet.Healthy, []);
        var density = Model.Covariance(_model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(_measured, healthy);
        var before = density.Between(residual, residual);
        var changes = known
            .Faults.Select(f => Model.Minus(_model.Volts(FaultSet.Of(f.Class), [f.Value]), healthy))
            .ToArray();

        Assert.Equal(40, selection.BestPairs.Length);
        Assert.Equal(
            selection.BestPairs.Select(p => p.Gain).OrderDescending(),
            selection.BestPairs.Select(p => p.Gain)
        );
        var least = selection.BestPairs[^1].Gain;
        var chosen = selection.BestPairs.Select(p => Pair(p.First, p.Second)).ToHashSet();
        Assert.Equal(40, chosen.Count);
        foreach (var (first, second, gain) in selection.BestPairs)
        {
            // The best amounts of both can only add to what the two take off as they are.
            Assert.True(gain > Together(first, second) - 0.02 * before);
        }
        for (var a = 0; a < changes.Length; a++)
        {
            for (var b = 0; b < a; b++)
            {
                if (!IsFree(a) && !IsFree(b) && Together(a, b) > least + 0.02 * before)
                {
                    Assert.Contains(Pair(a, b), chosen);
                }
            }
        }

        bool IsFree(int fault) => known.Faults[fault].Class.Range.IsContinuous;

        double Together(int a, int b)
        {
            var rest = Model.Minus(Model.Minus(residual, changes[a]), changes[b]);
            return 0.5 * (before - density.Between(rest, rest))
                + Math.Log(known.Faults[a].Class.Share)
                + Math.Log(known.Faults[b].Class.Share);
        }
    }

    [Fact]
    public void BestPairs_ValuesFree_AreTakenAtTheAmountsThatSuitBoth()
    {
        var (known, evaluator) = Known(_measured);
        known.Score(evaluator);
        var selection = new SingleSelection(known, evaluator, All, withPairs: true);
        var healthy = _model.Volts(FaultSet.Healthy, []);
        var density = Model.Covariance(_model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(_measured, healthy);
        var before = density.Between(residual, residual);
        var seen = 0;

        foreach (var (first, second, gain) in selection.BestPairs)
        {
            var (one, other) = (known.Faults[first], known.Faults[second]);
            var priors = Math.Log(one.Class.Share) + Math.Log(other.Class.Share);
            var best = double.NegativeInfinity;
            foreach (var x in AmountsOf(one))
            {
                foreach (var y in AmountsOf(other))
                {
                    var rest = residual
                        .Zip(Change(one), (r, d) => r - x * d)
                        .Zip(Change(other), (r, d) => r - y * d)
                        .ToArray();
                    best = Math.Max(best, 0.5 * (before - density.Between(rest, rest)) + priors);
                }
            }
            // Two sweeps come near the best of a fine grid of amounts, and never above what amounts can do.
            Assert.InRange(gain, best - 0.1 * before, best + 0.01 * before);
            seen += one.Class.Range.IsContinuous && other.Class.Range.IsContinuous ? 1 : 0;
        }
        Assert.True(seen > 3);

        double[] Change(SingleFault fault) =>
            Model.Minus(_model.Volts(FaultSet.Of(fault.Class), [fault.Value]), healthy);

        static IEnumerable<double> AmountsOf(SingleFault fault)
        {
            var half = fault.Class.Range.IsContinuous
                ? 0.5 * fault.Class.Range.LogWidth / fault.Class.Range.Grid.Length
                : 0;
            return Enumerable.Range(-8, 17).Select(i => Math.Exp(half * i / 8));
        }
    }

    [Fact]
    public void Chosen_ByWhatTheyExplain_AreTheBestOfThoseSeen()
    {
        var (known, evaluator) = Known(_measured);
        known.Score(evaluator);
        double[] scores =
        [
            .. known.Faults.Select((f, i) => known.Gains[i] + Math.Log(f.Class.Share)),
        ];
        var effort = All with { Alone = 5, BesideSlip = 0, FewReadings = 0 };

        var chosen = new SingleSelection(known, evaluator, effort, withPairs: false).Chosen;

        var seen = Enumerable.Range(0, scores.Length).Where(known.Changes).ToArray();
        var best = seen.OrderByDescending(i => scores[i]).Take(5);
        Assert.Equal(best.Order(), chosen.Where(known.Changes));
        // Of what no reading sees the likeliest, one of each class.
        var unseen = chosen.Where(i => !known.Changes(i)).ToArray();
        Assert.Equal(
            unseen.Length,
            unseen.Select(i => known.Faults[i].Class.Index).Distinct().Count()
        );
        Assert.Equal(chosen.Order(), chosen);
    }

    [Fact]
    public void Chosen_WithPairs_HoldsBothFaultsOfEach()
    {
        var (known, evaluator) = Known(_measured);
        var effort = All with { Alone = 1, BesideSlip = 0, Pairs = 6 };

        var selection = new SingleSelection(known, evaluator, effort, withPairs: true);

        Assert.Equal(6, selection.BestPairs.Length);
        Assert.All(
            selection.BestPairs,
            pair =>
            {
                Assert.Contains(pair.First, selection.Chosen);
                Assert.Contains(pair.Second, selection.Chosen);
            }
        );
        Assert.Empty(new SingleSelection(known, evaluator, effort, withPairs: false).BestPairs);
    }

    [Fact]
    public void Chosen_BesideASlip_HoldsTheFaultThatExplainsAllButOneReading()
    {
        // R2 open, and point c written down ten times too high.
        var open = _bench.Fault("R2 open");
        double[] measured = _model.Volts(FaultSet.Of(open), [open.Range.Grid[0]]);
        measured[2] *= 10;
        var (known, evaluator) = Known(measured);
        var index = Enumerable
            .Range(0, known.Faults.Length)
            .Single(i => known.Faults[i].Class == open);
        var effort = All with { Alone = 0, BesideSlip = 3, FewReadings = 0 };

        var chosen = new SingleSelection(known, evaluator, effort, withPairs: false).Chosen;

        Assert.Contains(index, chosen);
        Assert.Equal(3, chosen.Count(known.Changes));
    }

    [Fact]
    public void Chosen_WhatNoReadingSees_IsTheLikeliestOfEachClass()
    {
        // a is not read, so R1 and R2 are not seen.
        string[] nodes = ["b", "c"];
        var evaluator = _bench.Evaluator(nodes, [6.2, 3]);
        evaluator.Screen(FaultSet.Healthy, [], [], [], _bench.Start, default);
        var known = _bench.KnownEffects(evaluator, nodes);
        var effort = All with { Alone = 4, BesideSlip = 0, FewReadings = 0 };

        var chosen = new SingleSelection(known, evaluator, effort, withPairs: false).Chosen;

        FaultClass[] unseen =
        [
            .. _bench.Classes.Where(
                (_, c) =>
                    Enumerable
                        .Range(0, known.Faults.Length)
                        .Where(i => known.Faults[i].Class.Index == c)
                        .All(i => !known.Changes(i))
            ),
        ];
        Assert.InRange(unseen.Length, 5, 24);
        Assert.Equal(4, chosen.Count(known.Changes));
        Assert.Equal(
            unseen.Select(c => c.Index),
            chosen.Where(i => !known.Changes(i)).Select(i => known.Faults[i].Class.Index).Order()
        );
        // With so few readings all values of all of them.
        var all = new SingleSelection(
            known,
            evaluator,
            effort with
            {
                FewReadings = 3,
            },
            withPairs: false
        ).Chosen;
        Assert.Equal(4 + unseen.Length, all.Length);
    }

    [Fact]
    public void BestPairs_FewFaultsPaired_AreOfThoseThatCouldExplainMost()
    {
        var (known, evaluator) = Known(_measured);
        var effort = All with { Paired = 12 };

        var selection = new SingleSelection(known, evaluator, effort, withPairs: true);

        // At whatever amount.
        var healthy = _model.Volts(FaultSet.Healthy, []);
        var density = Model.Covariance(_model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(_measured, healthy);
        double[] reach =
        [
            .. known
                .Faults.Select(f =>
                    Model.Minus(_model.Volts(FaultSet.Of(f.Class), [f.Value]), healthy)
                )
                .Select(d =>
                    Math.Pow(density.Between(residual, d), 2)
                    / Math.Max(1e-12, density.Between(d, d))
                ),
        ];
        var least = reach.OrderDescending().ElementAt(11);
        Assert.NotEmpty(selection.BestPairs);
        Assert.All(
            selection.BestPairs,
            pair =>
            {
                Assert.True(reach[pair.First] > 0.98 * least);
                Assert.True(reach[pair.Second] > 0.98 * least);
            }
        );
    }

    private double Value(string fault) => _bench.Fault(fault).Range.Grid[0];

    private static (int, int) Pair(int a, int b) => (Math.Min(a, b), Math.Max(a, b));

    private (KnownEffects Known, SetEvaluator Evaluator) Known(double[] measured)
    {
        var singles = new SingleEffects(_bench.Classes, _bench.Healthy);
        singles.Prepare(_bench.Healthy.Scenes.Normal, _bench.RowsAt(Nodes), default);
        var evaluator = _bench.Evaluator(Nodes, measured);
        evaluator.Screen(FaultSet.Healthy, [], [], [], _bench.Start, default);
        return (new(singles, evaluator.Predictor, _bench.Classes), evaluator);
    }
}

using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>The probability of a fault set and readings, against its definition.</summary>
public sealed class SetEvaluatorTests
{
    private static readonly string[] Nodes = ["a", "b", "c"];
    private static readonly double[] Measured = [6.4, 5.9, 3.1];

    private readonly SmallBench _bench = new();

    [Fact]
    public void Screen_HealthyUnit_IsItsDensityAndWhatTheComplaintSaysAgainstIt()
    {
        var evidence = _bench.Evidence(Nodes, Measured, healthyLogOdds: -2);
        var evaluator = new SetEvaluator(_bench.Predictor(Nodes), evidence);

        var score = Screen(evaluator, FaultSet.Healthy, []);

        var model = _bench.Model(Nodes);
        var density = Model.Covariance(model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(Measured, model.Volts(FaultSet.Healthy, []));
        Assert.Equal(-2 + density.LogDensity(residual), score, 4);
        Assert.Equal(residual, evaluator.Residual.ToArray(), Close);
    }

    [Fact]
    public void Screen_FaultWithoutAFreeValue_IsItsPriorAndDensity()
    {
        var set = _bench.Set("R2 open");
        var value = set.Members[0].Range.Grid[0];
        double[] measured = [11.5, 6.1, 2.9];
        var evaluator = _bench.Evaluator(Nodes, measured);

        var score = Screen(evaluator, set, [value]);

        var model = _bench.Model(Nodes);
        var density = Model.Covariance(Freed(model.Slopes(set, [value]), "R2"));
        var residual = Model.Minus(measured, model.Volts(set, [value]));
        Assert.Equal(set.LogPrior + density.LogDensity(residual), score, 3);
    }

    [Theory]
    [InlineData(12e3, 100)]
    [InlineData(15e3, 100)]
    [InlineData(15e3, 0.01)]
    public void Screen_FaultWithAFreeValue_GoesHalfACellTowardTheBest(double value, double away)
    {
        var set = _bench.Set("R2 drifted");
        var range = set.Members[0].Range;
        var model = _bench.Model(Nodes);
        // Far from what the value gives: the step ends at half a cell; near: before it.
        var there = model.Volts(set, [value * (1 + away)]);
        var evaluator = _bench.Evaluator(Nodes, there);

        var score = Screen(evaluator, set, [value]);

        var density = Model.Covariance(Freed(model.Slopes(set, [value]), "R2"));
        var residual = Model.Minus(there, model.Volts(set, [value]));
        var slope = model.SlopeOfValue(set, [value], 0);
        var curvature = density.Between(slope, slope);
        var along = density.Between(slope, residual);
        var information = curvature + 1 / (range.LogWidth * range.LogWidth);
        var half = 0.5 * range.LogWidth / range.Grid.Length;
        var step = Math.Clamp(along / information, -half, half);
        Assert.Equal(away > 1, Math.Abs(step) == half);
        var quadratic =
            density.Between(residual, residual) - (2 * step * along - step * step * curvature);
        var occam = 0.5 * Math.Log(2 * Math.PI / information) - Math.Log(range.LogWidth);
        Assert.True(occam < 0);
        var expected =
            set.LogPrior
            + occam
            - 0.5 * (quadratic + density.LogDeterminant + 3 * Math.Log(2 * Math.PI));
        Assert.Equal(expected, score, 0.01 * Math.Abs(expected) + 1e-3);
    }

    [Fact]
    public void Screen_AboutSpreads_AddsBackWhatTheyDo()
    {
        var evaluator = _bench.Evaluator(Nodes, Measured);
        var terms = _bench.Healthy.Spread.Terms.Length;
        var spreads = Enumerable.Range(0, terms).Select(i => i % 2 == 0 ? 1.0 : -0.5).ToArray();
        var amounts = new double[evaluator.Predictor.Width];
        spreads.CopyTo(amounts, 0);
        Assert.Equal(terms, evaluator.Predictor.Terms);

        var score = evaluator.Screen(FaultSet.Healthy, [], amounts, [], _bench.Start, default);

        var model = _bench.Model(Nodes);
        var slopes = model.Slopes(FaultSet.Healthy, [], spreads);
        var residual = Measured
            .Zip(model.Volts(FaultSet.Healthy, [], spreads), (y, m) => y - m)
            .Zip(slopes, (r, row) => r + Model.Dot(row[..terms], spreads))
            .ToArray();
        Assert.Equal(Model.Covariance(slopes).LogDensity(residual), score!.Value, 3);
    }

    [Fact]
    public void Screen_ReadingTakenForASlip_HasTheSlipsErrorAndItsOdds()
    {
        // 60 V for 6 V: a decimal point, which is a thousand to one.
        var evaluator = _bench.Evaluator(Nodes, [60, 6, 3]);

        var score = evaluator.Screen(FaultSet.Healthy, [], [], [0], _bench.Start, default)!.Value;

        var model = _bench.Model(Nodes);
        var slopes = model.Slopes(FaultSet.Healthy, []);
        var covariance = slopes
            .Select(
                (row, i) =>
                    slopes
                        .Select(
                            (other, j) =>
                                Model.Dot(row, other)
                                + (
                                    i != j ? 0
                                    : i == 0 ? 60.0 * 60
                                    : SmallBench.Own * SmallBench.Own
                                )
                        )
                        .ToArray()
            )
            .ToArray();
        var residual = Model.Minus([60, 6, 3], model.Volts(FaultSet.Healthy, []));
        Assert.Equal(new Normal(covariance).LogDensity(residual) + Math.Log(1e-3), score, 4);
    }

    [Theory]
    [InlineData(17e3)]
    [InlineData(4e3)]
    public void Refine_DriftedResistor_FindsItsValue(double truth)
    {
        var set = _bench.Set("R2 drifted");
        var model = _bench.Model(Nodes);
        var measured = model.Volts(set, [truth]);
        var evaluator = _bench.Evaluator(Nodes, measured);

        var refined = evaluator.Refine(set, set.Middle, [], _bench.Start, 12, default);

        Assert.True(refined.Converged);
        Assert.False(refined.IsPromise);
        Assert.InRange(refined.Values[0], 0.97 * truth, 1.03 * truth);
        Assert.All(refined.Amounts, amount => Assert.InRange(amount, -0.1, 0.1));
        Assert.Equal(measured, refined.Predicted, (x, y) => Math.Abs(x - y) < 0.02);
        Assert.InRange(refined.Quadratic, 0, 0.1);
    }

    [Fact]
    public void Refine_TwoLeaks_FindsBothValues()
    {
        // Leaks are edits of the circuit, not values of its parts.
        var bench = new SmallBench(SmallBench.Cards + "\nC1 a 0 100n\nC2 c 0 100n");
        var set = bench.Set("C1 leaky", "C2 leaky");
        var measured = bench.Volts(Nodes, ("C1 leaky", 30e3), ("C2 leaky", 12e3));
        var evaluator = bench.Evaluator(Nodes, measured);

        var refined = evaluator.Refine(set, set.Middle, [], bench.Start, 20, default);

        double ValueOf(string fault) => refined.Values[set.Members.IndexOf(bench.Fault(fault))];
        Assert.InRange(ValueOf("C1 leaky"), 28e3, 32e3);
        Assert.InRange(ValueOf("C2 leaky"), 11.5e3, 12.5e3);
    }

    [Fact]
    public void Refine_TwoFreeValues_StandsWhereNoSmallStepHelps()
    {
        var set = _bench.Set("R2 drifted", "R4 drifted");
        var terms = _bench.Healthy.Spread.Terms;
        var model = _bench.Model(Nodes);
        var measured = model.Volts(set, [16e3, 25e3]);
        measured[2] -= 0.3;
        var evaluator = _bench.Evaluator(Nodes, measured);

        var refined = evaluator.Refine(set, set.Middle, [], _bench.Start, 40, default);

        Assert.Contains(refined.Amounts, amount => Math.Abs(amount) > 0.3);
        double[] point =
        [
            .. refined.Amounts.Take(terms.Length),
            .. refined.Values.Select(Math.Log),
        ];
        var gain = refined.Amounts[terms.Length + (int)ReadingKind.Dc];
        var best = Objective(point);
        for (var i = 0; i < point.Length; i++)
        {
            // The spread of a part whose value is a fault's moves nothing but itself.
            foreach (var step in (double[])[-0.1, 0.1])
            {
                var beside = (double[])point.Clone();
                beside[i] += step;
                Assert.True(Objective(beside) > best - 0.02, $"{i} {step}");
            }
        }

        double Objective(double[] at)
        {
            var spreads = at[..terms.Length];
            var volts = model.Volts(set, [.. at[terms.Length..].Select(Math.Exp)], spreads);
            var sigma = _bench.Healthy.Meter.GainSigma(ReadingKind.Dc);
            return 0.5 * Model.Dot(spreads, spreads)
                + 0.5 * gain * gain
                + 0.5
                    * volts
                        .Zip(
                            measured,
                            (v, y) => Math.Pow((y - v * (1 + sigma * gain)) / SmallBench.Own, 2)
                        )
                        .Sum();
        }
    }

    [Fact]
    public void Refine_MeterThatReadsHigh_IsCountedOnce()
    {
        // All high by sixty sigma of the meter's gain, the source itself among them.
        string[] nodes = ["in", .. Nodes];
        var gain = _bench.Healthy.Meter.GainSigma(ReadingKind.Dc);
        double[] measured =
        [
            .. _bench.Model(nodes).Volts(FaultSet.Healthy, []).Select(v => v * (1 + 60 * gain)),
        ];
        var evaluator = _bench.Evaluator(nodes, measured);

        var refined = evaluator.Refine(FaultSet.Healthy, [], [], _bench.Start, 12, default);

        var meter = refined.Amounts[_bench.Healthy.Spread.Terms.Length + (int)ReadingKind.Dc];
        Assert.True(meter > 0.3, $"{meter}");
        // At the maximum what is left of the residual is what the spreads and the readings' own errors take.
        var amounts = refined.Amounts.ToArray();
        var errors = refined
            .Predicted.Zip(measured, (v, y) => (y - v * (1 + gain * meter)) / SmallBench.Own)
            .ToArray();
        var expected = Model.Dot(amounts, amounts) + Model.Dot(errors, errors);
        Assert.Equal(expected, refined.Quadratic, 0.01 * expected);
        // So the derivatives there lead nowhere else.
        var there = evaluator.Screen(
            FaultSet.Healthy,
            [],
            refined.Amounts.AsSpan(),
            [],
            _bench.Start,
            default
        );
        Assert.Equal(refined.LogPosterior, there!.Value, 0.02);
    }

    [Fact]
    public void Refine_MaximumNotReached_CountsWhatTheCircuitAsSolvedLeaves()
    {
        var set = _bench.Set("R2 drifted");
        var model = _bench.Model(Nodes);
        var measured = model.Volts(set, [60e3]);
        var evaluator = _bench.Evaluator(Nodes, measured);

        // So near that one step does not count as lost, and no second is allowed.
        var refined = evaluator.Refine(set, [45e3], [], _bench.Start, 1, default);

        var gain =
            _bench.Healthy.Meter.GainSigma(ReadingKind.Dc)
            * refined.Amounts[_bench.Healthy.Spread.Terms.Length + (int)ReadingKind.Dc];
        var amounts = refined.Amounts.ToArray();
        var errors = refined
            .Predicted.Zip(measured, (v, y) => (y - v * (1 + gain)) / SmallBench.Own)
            .ToArray();
        var expected = Model.Dot(amounts, amounts) + Model.Dot(errors, errors);
        Assert.Equal(expected, refined.Quadratic, 1e-6 * expected);
        // The derivatives promise more.
        var promised = evaluator.Screen(
            set,
            refined.Values.AsSpan(),
            refined.Amounts.AsSpan(),
            [],
            _bench.Start,
            default
        );
        Assert.True(promised > refined.LogPosterior + 1, $"{promised} {refined.LogPosterior}");
    }

    [Fact]
    public void Refine_SpreadsBeyondTheirBound_AreHeldThereAndTheOthersMakeUpForThem()
    {
        // b belongs at 6 V and c at 3 V: R3, R4 and R5 go as far as parts do, not all of them equally soon.
        double[] measured = [6, 11, 1.5];
        var evaluator = _bench.Evaluator(Nodes, measured);

        var refined = evaluator.Refine(FaultSet.Healthy, [], [], _bench.Start, 40, default);

        var terms = _bench.Healthy.Spread.Terms;
        Assert.True(refined.Converged);
        Assert.All(refined.Amounts, amount => Assert.InRange(amount, -6, 6));
        var spreads = refined.Amounts[..terms.Length].ToArray();
        Assert.Contains(spreads, amount => Math.Abs(amount) == 6);
        var meter = refined.Amounts[terms.Length + (int)ReadingKind.Dc];
        var model = _bench.Model(Nodes);
        var best = Objective(spreads);
        for (var i = 0; i < spreads.Length; i++)
        {
            foreach (var step in (double[])[-0.1, 0.1])
            {
                var beside = (double[])spreads.Clone();
                beside[i] = Math.Clamp(beside[i] + step, -6, 6);
                Assert.True(Objective(beside) > best - 0.02, $"{terms[i].Name} {step}");
            }
        }
        Assert.Equal(2 * best + meter * meter, refined.Quadratic, 0.01 * best);

        double Objective(double[] at)
        {
            var sigma = _bench.Healthy.Meter.GainSigma(ReadingKind.Dc);
            return 0.5 * Model.Dot(at, at)
                + 0.5
                    * model
                        .Volts(FaultSet.Healthy, [], at)
                        .Zip(
                            measured,
                            (v, y) => Math.Pow((y - v * (1 + sigma * meter)) / SmallBench.Own, 2)
                        )
                        .Sum();
        }
    }

    [Fact]
    public void Refine_WithoutAStep_StaysWhereItBegan()
    {
        var set = _bench.Set("R2 drifted");
        var evaluator = _bench.Evaluator(Nodes, Measured);

        var refined = evaluator.Refine(set, [13e3], [], _bench.Start, 0, default);

        Assert.True(refined.IsPromise);
        Assert.Equal(13e3, refined.Values[0], 6);
        Assert.All(refined.Amounts, amount => Assert.Equal(0, amount));
        Assert.Equal(_bench.Model(Nodes).Volts(set, [13e3]), refined.Predicted, Close);
    }

    private static bool Close(double x, double y) => Math.Abs(x - y) < 1e-6;

    private double Screen(SetEvaluator evaluator, FaultSet set, double[] values) =>
        evaluator.Screen(set, values, [], [], _bench.Start, default)!.Value;

    // A part with a fault's value does not spread besides.
    private double[][] Freed(double[][] slopes, string part)
    {
        var terms = _bench.Healthy.Spread.Terms;
        return
        [
            .. slopes.Select(row =>
                row.Select((slope, t) => t < terms.Length && terms[t].Name == part ? 0 : slope)
                    .ToArray()
            ),
        ];
    }

    [Theory]
    [InlineData(0.01)]
    [InlineData(0.02)]
    [InlineData(0.045)]
    [InlineData(0.07)]
    [InlineData(0.115)]
    public void Refine_WhereALoopBendsTheWay_ArrivesAllTheSame(double start)
    {
        // With little gain in half of its differential pair the amplifier's output goes some volts off, and what holds it bends.
        var bench = new SimulatedBench("marram-line", ("Q2 weak", 0.0204));
        var healthy = bench.Healthy;
        var selection = ReadingSelection.Of(bench.EveryVoltage(), healthy, default);
        var evaluator = new SetEvaluator(
            new(selection.Groups, healthy.Spread, healthy.Meter),
            new(selection.Weighed, 0)
        );
        var weak = bench.Diagnoser.Catalogue.Classes.First(c =>
            c.Identities.Any(i => i.Fault.Describe() == "Q2 weak")
        );

        var refined = evaluator.Refine(
            FaultSet.Of(weak),
            [start],
            [],
            healthy.VoltsIn(healthy.Scenes.Normal, default)!,
            10,
            default
        );

        Assert.InRange(refined.Quadratic, 0, 0.1 * selection.Weighed.Length);
        Assert.Equal(0.0204, refined.Values[0], 0.002);
    }
}

using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>Where derivatives lead from a point, against what it means to be a maximum.</summary>
public sealed class LinearisationTests
{
    private const double Here = 13e3;
    private static readonly string[] Nodes = ["a", "b", "c"];
    private static readonly double[] Measured = [6.4, 5.9, 3.1];

    private readonly SmallBench _bench = new();

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void FindMaximum_LeavesWhatTheSpreadsFoundTake(bool keepsValues)
    {
        var set = _bench.Set("R2 drifted");
        var predictor = _bench.Predictor(Nodes);
        var circuit = new FaultedCircuit(predictor);
        var linearisation = new Linearisation(predictor, _bench.Evidence(Nodes, Measured));
        linearisation.Begin(set, []);
        double[] logValues = [Math.Log(Here)];
        Assert.True(circuit.Solve(set, logValues, [], _bench.Start, default));
        linearisation.Take(circuit, new double[predictor.Width]);

        var amounts = new double[predictor.Width];
        linearisation.FindMaximum(logValues, amounts, keepsValues);

        var step = linearisation.Values.Step[0];
        Assert.Equal(keepsValues, step == 0);
        var model = _bench.Model(Nodes);
        var terms = _bench.Healthy.Spread.Terms.Length;
        double[] spreads = [.. amounts[..terms], amounts[terms + (int)ReadingKind.Dc]];
        var slopes = model.Slopes(set, [Here]);
        var slopeOfValue = model.SlopeOfValue(set, [Here], 0);
        var left = Model
            .Minus(Measured, model.Volts(set, [Here]))
            .Select((r, i) => r - Model.Dot(slopes[i], spreads) - slopeOfValue[i] * step)
            .ToArray();
        // At the maximum a spread pulls back as much as the readings pull: z = J' e / D.
        for (var k = 0; k < spreads.Length; k++)
        {
            var isFaults = k < terms && _bench.Healthy.Spread.Terms[k].Name == "R2";
            var pull = isFaults
                ? 0
                : Model.Dot([.. slopes.Select(row => row[k])], left)
                    / (SmallBench.Own * SmallBench.Own);
            Assert.Equal(pull, spreads[k], 1e-3);
        }
        Assert.Contains(spreads, amount => Math.Abs(amount) > 0.5);
    }

    [Fact]
    public void FindMaximum_ValueFarAway_GoesAFactorOfEAtMost()
    {
        var set = _bench.Set("R2 drifted");
        var predictor = _bench.Predictor(Nodes);
        var circuit = new FaultedCircuit(predictor);
        var measured = _bench.Model(Nodes).Volts(set, [60e3]);
        var linearisation = new Linearisation(predictor, _bench.Evidence(Nodes, measured));
        linearisation.Begin(set, []);
        double[] logValues = [Math.Log(11e3)];
        Assert.True(circuit.Solve(set, logValues, [], _bench.Start, default));
        linearisation.Take(circuit, new double[predictor.Width]);

        linearisation.FindMaximum(logValues, new double[predictor.Width]);

        Assert.Equal(1, linearisation.Values.Step[0], 12);
    }

    [Fact]
    public void PossibleGain_SpreadsHeldAtABound_IsWhatTheyLeaveToGain()
    {
        const double Bound = 0.5;
        var predictor = _bench.Predictor(Nodes);
        var circuit = new FaultedCircuit(predictor);
        var linearisation = new Linearisation(predictor, _bench.Evidence(Nodes, Measured));
        linearisation.Begin(FaultSet.Healthy, []);
        Assert.True(circuit.Solve(FaultSet.Healthy, [], [], _bench.Start, default));
        var amounts = new double[predictor.Width];
        linearisation.Take(circuit, amounts);
        var objective = linearisation.Objective(amounts);
        var free = linearisation.PossibleGain([], objective);
        linearisation.FindMaximum([], amounts);
        while (linearisation.Hold(circuit, amounts, Bound))
        {
            linearisation.FindMaximum([], amounts);
        }

        var held = linearisation.PossibleGain([], objective);

        var model = _bench.Model(Nodes);
        var terms = _bench.Healthy.Spread.Terms.Length;
        double[] spreads = [.. amounts[..terms], amounts[terms + (int)ReadingKind.Dc]];
        Assert.Contains(spreads, amount => Math.Abs(amount) == Bound);
        var slopes = model.Slopes(FaultSet.Healthy, []);
        var left = Model
            .Minus(Measured, model.Volts(FaultSet.Healthy, []))
            .Select((r, i) => r - Model.Dot(slopes[i], spreads));
        var there =
            0.5 * spreads.Sum(amount => amount * amount)
            + 0.5 * left.Sum(e => e * e) / (SmallBench.Own * SmallBench.Own);
        Assert.Equal(objective - there, held, 1e-3 * Math.Abs(held));
        Assert.InRange(held, 0, 0.9 * free);
    }

    [Theory]
    [InlineData(1.5)]
    [InlineData(-1.5)]
    public void Objective_OfALevelBesideANull_HasTheSignThatIsThere(double unequal)
    {
        // Both halves of the output stage draw on h1: what is left of the signal there has the sign of what they differ by.
        var bench = new SimulatedBench("marram-20");
        var normal = bench.Healthy.Scenes.Normal;
        var node = bench.Amplifier.Circuit.FindNode("h1");
        var row = bench.Healthy.ToScale(
            normal,
            [Row.Of(bench.Healthy.Meter, ReadingKind.Ac, node, 0, 0)],
            default
        )[0];
        var predictor = new Predictor([(normal, [row])], bench.Healthy.Spread, bench.Healthy.Meter);
        var amounts = new double[predictor.Width];
        amounts[predictor.TermNames.IndexOf("XV4 grid offset")] = unequal;
        var circuit = new FaultedCircuit(predictor);
        var start = bench.Healthy.VoltsIn(normal, default)!;
        Assert.True(circuit.Solve(FaultSet.Healthy, [], amounts, start, default));
        predictor.Read(circuit.Edits);
        Assert.True(predictor.IsSigned(0));
        var place = Math.Abs(predictor.Mean[0]);
        Assert.InRange(place, 5e-3, 1);
        var level = bench.Take("h1 ac");
        var linearisation = new Linearisation(
            predictor,
            new([new WeighedReading(level, row, place, 5e-4)], 0)
        );

        linearisation.Begin(FaultSet.Healthy, []);
        linearisation.Take(circuit, amounts);

        Assert.Equal(0.5 * unequal * unequal, linearisation.Objective(amounts), 1e-6);
    }
}

using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>Slips of the person or the meter. Eight dividers of 12 V to 6 V, each with a point of its own.</summary>
public sealed class RobustRefinerTests
{
    private static readonly string[] Nodes = [.. Enumerable.Range(1, 8).Select(i => $"p{i}")];

    private readonly SmallBench _bench = new(
        "V1 in 0 12\n"
            + string.Join(
                "\n",
                Nodes.SelectMany(
                    (node, i) => (string[])[$"R{i}A in {node} 10k", $"R{i}B {node} 0 10k"]
                )
            )
    );

    [Theory]
    [InlineData(8, "p2", "p5")]
    [InlineData(8, "p2")]
    // One slip to four readings.
    [InlineData(4, "p2")]
    public void Refine_DecimalPointsMisplaced_AreStruckOut(int readings, params string[] slips)
    {
        var refined = Refine(readings, slips);

        Assert.Equal(slips, refined.Slips.Order().Select(i => Nodes[i]));
        Assert.InRange(refined.Quadratic, 0, 1);
    }

    [Theory]
    [InlineData(3, 0, "p2")]
    [InlineData(7, 1, "p2", "p5")]
    [InlineData(8, 2, "p2", "p5", "p7")]
    public void Refine_MoreSlipsThanReadingsTell_AreLeftIn(
        int readings,
        int most,
        params string[] slips
    ) => Assert.InRange(Refine(readings, slips).Slips.Length, 0, most);

    [Fact]
    public void Refine_NothingDisagreesMuch_StrikesOutNothing()
    {
        var volts = Healthy(8);
        // Three standard deviations of a healthy unit.
        volts[3] += 3 * Math.Sqrt(Variance(3, 8));

        Assert.Empty(Refiner(volts).Refine(FaultSet.Healthy, []).Slips);
    }

    [Fact]
    public void Refine_SlipBesideAFault_IsStruckOutOfTheFaultOnly()
    {
        var volts = Healthy(8);
        volts[0] = 12;
        volts[4] /= 10;
        var refiner = Refiner(volts);
        var open = _bench.Set("R0B open");

        var refined = refiner.Refine(open, [open.Members[0].Range.Grid[0]]);
        refiner.Assume(refined);

        Assert.Equal([4], refined.Slips);
        Assert.Equal([4], refiner.Assumed);
        Assert.True(refined.LogPosterior > refiner.Refine(FaultSet.Healthy, []).LogPosterior);
    }

    [Theory]
    [InlineData(8, 3.0)]
    [InlineData(8, 0.2)]
    [InlineData(3, 3.0)]
    public void PossibleSlipGain_OfTheHealthyUnit_IsWhatItsWorstReadingCosts(
        int readings,
        double volts
    )
    {
        var measured = Healthy(readings);
        measured[1] += volts;
        measured[2] -= 0.5 * volts;
        string[] nodes = Nodes[..readings];
        var evaluator = _bench.Evaluator(nodes, measured);
        var refiner = new RobustRefiner(evaluator, _bench.Start, default);
        evaluator.Screen(FaultSet.Healthy, [], [], [], _bench.Start, default);
        refiner.Calibrate();

        var gain = refiner.PossibleSlipGain();

        var model = _bench.Model(nodes);
        var density = Model.Covariance(model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(measured, model.Volts(FaultSet.Healthy, []));
        var worst = Enumerable
            .Range(0, readings)
            .Max(i => Math.Pow(density.Solved(residual, i), 2) / density.Precision(i));
        var expected =
            readings < 4 || worst < 16
                ? 0
                : 0.5 * Math.Min(worst, density.Between(residual, residual));
        Assert.Equal(volts > 1 && readings >= 4, expected > 0);
        Assert.Equal(expected, gain, 0.001 * expected);
    }

    private double[] Healthy(int readings) =>
        _bench.Model(Nodes[..readings]).Volts(FaultSet.Healthy, []);

    private double Variance(int reading, int readings)
    {
        var model = _bench.Model(Nodes[..readings]);
        var row = model.Slopes(FaultSet.Healthy, [])[reading];
        return Model.Dot(row, row) + SmallBench.Own * SmallBench.Own;
    }

    private RobustRefiner Refiner(double[] volts)
    {
        var evaluator = _bench.Evaluator(Nodes[..volts.Length], volts);
        return new(evaluator, _bench.Start, default);
    }

    private Evaluation Refine(int readings, string[] slips)
    {
        var volts = Healthy(readings);
        // Each much grosser than the next, or neither would leave little of the misfit.
        foreach (var (slip, factor) in slips.Zip((double[])[10, 0.1, 0.8]))
        {
            volts[Array.IndexOf(Nodes, slip)] *= factor;
        }
        return Refiner(volts).Refine(FaultSet.Healthy, []);
    }
}

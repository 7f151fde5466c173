using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>What a further fault is foretold to gain, by derivative and by solving, against doing it the long way.</summary>
public sealed class ExtensionTests
{
    private static readonly string[] Nodes = ["a", "b", "c"];

    private readonly SmallBench _bench = new();
    private readonly Model _model;
    private readonly int _spreads;

    public ExtensionTests()
    {
        _model = _bench.Model(Nodes);
        _spreads = _bench.Healthy.Spread.Terms.Length;
    }

    [Fact]
    public void Screen_OfParameterFaults_IsTheMatchedFilterOfTheirSlope()
    {
        double[] measured = [6.8, 5.2, 3.3];
        var gains = Screened(FaultSet.Healthy, [], measured);
        var density = Model.Covariance(_model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(measured, _model.Volts(FaultSet.Healthy, []));
        var looked = 0;

        foreach (var fault in _bench.Classes.Where(c => c.Direction.Parameter >= 0))
        {
            // The slope by the parameter, which a free value or an own value sets.
            var set = FaultSet.Of(fault);
            var nominal = NominalOf(fault);
            var slope = _model.SlopeOfValue(set, [nominal], 0);
            var along = density.Between(slope, residual);
            var filtered = 0.5 * along * along / density.Between(slope, slope);
            var mayBe = fault.Direction.Sign == 0 || along * fault.Direction.Sign > 0;
            Assert.Equal(mayBe ? filtered : 0, gains[fault.Index], 0.01 * filtered + 1e-6);
            looked++;
        }
        Assert.True(looked > 5);
        Assert.Contains(gains, gain => gain == 0);
    }

    [Fact]
    public void Screen_OfAWornPentode_TakesItsScreenWithItsPlate()
    {
        var bench = new SmallBench(
            "VB b 0 250\nR1 b p 5k\nR2 b s 2k\nXV1 p 0 k s EL84\nR3 k 0 150"
        );
        string[] nodes = ["p", "s", "k"];
        var model = bench.Model(nodes);
        var worn = bench.Fault("V1 weak");
        Assert.True(worn.Direction.SecondParameter >= 0);
        var set = FaultSet.Of(worn);
        var measured = model.Volts(set, [0.9]);
        var evaluator = bench.Evaluator(nodes, measured);
        evaluator.Screen(FaultSet.Healthy, [], [], [], bench.Start, default);
        var screen = new ExtensionScreen(evaluator.Predictor, bench.Amplifier.Circuit.Nodes.Length);
        var gains = new double[bench.Classes.Length];

        screen.Score(evaluator, bench.Classes.AsSpan(), gains);

        var density = Model.Covariance(model.Slopes(FaultSet.Healthy, []));
        var residual = Model.Minus(measured, model.Volts(FaultSet.Healthy, []));
        var slope = model.SlopeOfValue(set, [1], 0);
        var along = density.Between(slope, residual);
        Assert.True(along < 0);
        var filtered = 0.5 * along * along / density.Between(slope, slope);
        Assert.Equal(filtered, gains[worn.Index], 0.01 * filtered);
    }

    [Theory]
    [InlineData("R2 a 0 10k")]
    // The same short, named from chassis.
    [InlineData("R2 0 a 10k")]
    public void Screen_OfAShort_GoesTheWayItsCurrentWould(string resistor)
    {
        // Below what a healthy unit reads, a short draws from a; above it none can.
        var bench = new SmallBench(SmallBench.Cards.Replace("R2 a 0 10k", resistor));
        var healthy = _model.Volts(FaultSet.Healthy, []);
        var fault = bench.Fault("R2 short");

        Assert.True(Gain(-1) > 1);
        Assert.Equal(0, Gain(1));

        double Gain(double more)
        {
            var evaluator = bench.Evaluator(Nodes, [healthy[0] + more, healthy[1], healthy[2]]);
            evaluator.Screen(FaultSet.Healthy, [], [], [], bench.Start, default);
            var screen = new ExtensionScreen(
                evaluator.Predictor,
                bench.Amplifier.Circuit.Nodes.Length
            );
            var gains = new double[bench.Classes.Length];
            screen.Score(evaluator, bench.Classes.AsSpan(), gains);
            return gains[fault.Index];
        }
    }

    [Fact]
    public void Screen_BesideFreeValues_CountsOnlyWhatTheseCannotTakeUp()
    {
        // R2 and R1 move a alone and alike: with R2's value free, R1 can gain nothing; R5 moves c and b.
        double[] measured = [7.5, 6.5, 3.9];
        var set = _bench.Set("R2 drifted");
        var alone = Screened(FaultSet.Healthy, [], measured);
        var beside = Screened(set, [15e3], measured);
        var (first, other) = (_bench.Fault("R1 drifted"), _bench.Fault("R5 drifted"));

        Assert.True(alone[first.Index] > 1);
        Assert.InRange(beside[first.Index], 0, 1e-3);

        // The long way: least squares with R2's column alone and with R5's beside it.
        var slopes = Freed(_model.Slopes(set, [15e3]), "R2");
        var density = Model.Covariance(slopes);
        var residual = Model.Minus(measured, _model.Volts(set, [15e3]));
        var column = _model.SlopeOfValue(set, [15e3], 0);
        var both = set.With(other)!;
        var extra = _model.SlopeOfValue(
            both,
            [.. both.Members.Select(m => m == other ? 10e3 : 15e3)],
            both.Members.IndexOf(other)
        );
        var (cc, ce, ee) = (
            density.Between(column, column),
            density.Between(column, extra),
            density.Between(extra, extra)
        );
        var (cr, er) = (density.Between(column, residual), density.Between(extra, residual));
        var along = er - ce / cc * cr;
        Assert.Equal(
            0.5 * along * along / (ee - ce * ce / cc),
            beside[other.Index],
            0.01 * beside[other.Index]
        );
    }

    [Fact]
    public void Screen_BesideThreeFreeValues_LeavesNothingOfThreeReadings()
    {
        // Three values that three readings tell apart take up whatever is left.
        var set = _bench.Set("R2 drifted", "R4 drifted", "R5 drifted");
        double[] measured = [6.8, 7.2, 3.1];

        var gains = Screened(set, [15e3, 12e3, 11e3], measured);

        Assert.All(gains, gain => Assert.InRange(gain, 0, 1e-3));
        Assert.Contains(Screened(FaultSet.Healthy, [], measured), gain => gain > 1);
    }

    [Fact]
    public void Whiten_OfAResidual_LeavesWhatSpreadsAndFreeValuesCannotTakeUp()
    {
        double[] measured = [7.5, 6.5, 3.9];
        var set = _bench.Set("R2 drifted", "R4 drifted");
        double[] values =
        [
            .. set.Members.Select(m => m == _bench.Fault("R2 drifted") ? 15e3 : 12e3),
        ];
        var evaluator = _bench.Evaluator(Nodes, measured);
        evaluator.Screen(set, values, [], [], _bench.Start, default);
        var from = new ExtensionBase(
            evaluator,
            set,
            [.. values],
            [.. new double[evaluator.Predictor.Width]]
        );
        double[] left = [0.3, -0.2, 0.4];

        var whitened = (double[])left.Clone();
        from.Whiten(whitened);

        // Least squares by both columns.
        var density = Model.Covariance(Freed(_model.Slopes(set, values), "R2", "R4"));
        var (p, q) = (_model.SlopeOfValue(set, values, 0), _model.SlopeOfValue(set, values, 1));
        var (pp, pq, qq) = (density.Between(p, p), density.Between(p, q), density.Between(q, q));
        var (pr, qr) = (density.Between(p, left), density.Between(q, left));
        var determinant = pp * qq - pq * pq;
        var x = (pr * qq - qr * pq) / determinant;
        var y = (pp * qr - pq * pr) / determinant;
        var rest = density.Between(left, left) - (x * pr + y * qr);
        Assert.Equal(rest, DenseRows.Dot(whitened, whitened), 0.002 * density.Between(left, left));
    }

    [Theory]
    [InlineData("R5 open")]
    [InlineData("R3 open")]
    public void Solve_FaultWithoutAFreeValue_IsItsMisfitBesideTheBase(string fault)
    {
        var set = _bench.Set("R2 drifted");
        var extra = _bench.Fault(fault);
        double[] measured = [7.3, 10.4, 10.1];
        var (from, solver) = From(set, [15e3], measured);
        var larger = set.With(extra)!;

        var (_, byBase, byItself, room) = solver.Solve(from, larger, extra, 1, default);

        double[] values = [.. larger.Members.Select(m => m == extra ? extra.Range.Grid[0] : 15e3)];
        var mean = _model.Volts(larger, values);
        var residual = Model.Minus(measured, mean);
        Assert.Equal(extra.Range.Grid[0], byBase.Value);
        Assert.Equal(
            Math.Log(extra.Share) - 0.5 * Left(set, [15e3], residual),
            byBase.Score,
            0.01 * Math.Abs(byBase.Score)
        );
        Assert.Equal(
            Math.Log(extra.Share) - 0.5 * Coarse(measured, mean),
            byItself.Score,
            0.01 * Math.Abs(byItself.Score)
        );
        var alone = Left(set, [15e3], Model.Minus(measured, _model.Volts(set, [15e3])));
        var worse = Math.Max(0, Left(set, [15e3], residual) - alone);
        Assert.Equal(Math.Exp(-0.5 * worse), room.Score, 0.01);
        Assert.Equal(extra.Range.Grid[0], room.Value);
    }

    [Fact]
    public void Solve_FaultWithAFreeValue_StandsAtTheBestOfItsGrid()
    {
        var extra = _bench.Fault("R5 drifted");
        var grid = extra.Range.Grid;
        // Just beside one of the values.
        var truth = grid[^2] * 1.02;
        var measured = _model.Volts(FaultSet.Of(extra), [truth]);
        var (from, solver) = From(FaultSet.Healthy, [], measured);

        var (_, byBase, byItself, _) = solver.Solve(from, FaultSet.Of(extra), extra, 1, default);

        Assert.InRange(byBase.Value, 0.9 * truth, 1.1 * truth);
        Assert.Equal(grid[^2], byItself.Value);
        var coarse = grid.Select(v => Coarse(measured, _model.Volts(FaultSet.Of(extra), [v])))
            .ToArray();
        Assert.Equal(Math.Log(extra.Share) - 0.5 * coarse.Min(), byItself.Score, 1e-2);
        // Between two values the readings are taken to go straight, so the misfit is at most that at either.
        var fine = grid.Min(v =>
            Left(FaultSet.Healthy, [], Model.Minus(measured, _model.Volts(FaultSet.Of(extra), [v])))
        );
        Assert.InRange(byBase.Score, Math.Log(extra.Share) - 0.5 * fine, Math.Log(extra.Share));
    }

    [Fact]
    public void Solve_HalfwayBetweenTwoValues_FindsTheValueBetween()
    {
        var extra = _bench.Fault("R5 drifted");
        var (low, high) = (extra.Range.Grid[^3], extra.Range.Grid[^2]);
        var (one, other) = (
            _model.Volts(FaultSet.Of(extra), [low]),
            _model.Volts(FaultSet.Of(extra), [high])
        );
        // A quarter of the way from the higher to the lower.
        double[] measured = [.. one.Zip(other, (l, h) => 0.25 * l + 0.75 * h)];
        var (from, solver) = From(FaultSet.Healthy, [], measured);

        var byBase = solver.Solve(from, FaultSet.Of(extra), extra, 1, default).ByBase;

        Assert.Equal(high * Math.Pow(low / high, 0.25), byBase.Value, 0.01 * high);
        Assert.Equal(Math.Log(extra.Share), byBase.Score, 0.05);
    }

    [Fact]
    public void Solve_AllFurtherFaults_HasTheTruthNearestByEitherMeasure()
    {
        var set = _bench.Set("R2 drifted");
        var truth = _bench.Fault("R5 open");
        var whole = set.With(truth)!;
        double[] values = [.. whole.Members.Select(m => m == truth ? truth.Range.Grid[0] : 15e3)];
        var measured = _model.Volts(whole, values);
        var evaluator = _bench.Evaluator(Nodes, measured);
        var extensions = new SolvedExtensions(
            evaluator,
            _bench.Classes,
            () => _bench.Predictor(Nodes)
        );
        evaluator.Screen(FaultSet.Healthy, [], [], [], _bench.Start, default);
        extensions.Calibrate();
        evaluator.Screen(set, [15e3], [], [], _bench.Start, default);

        var solved = extensions.Solve(
            set,
            [15e3],
            [.. new double[evaluator.Predictor.Width]],
            1,
            default
        );

        Assert.Contains(truth, Best(e => e.ByBase));
        Assert.Contains(truth, Best(e => e.ByItself));
        Assert.Equal(1, solved.Single(e => e.Extra == truth).Room.Score, 0.01);
        // What touches R2 already cannot be added, all else can.
        Assert.Equal(
            _bench.Classes.Where(c => set.With(c) is not null),
            solved.Select(e => e.Extra)
        );

        IEnumerable<FaultClass> Best(Func<SolvedExtension, Scored> score) =>
            solved.OrderByDescending(e => score(e).Score).Take(3).Select(e => e.Extra);
    }

    private double[] Screened(FaultSet set, double[] values, double[] measured)
    {
        var evaluator = _bench.Evaluator(Nodes, measured);
        evaluator.Screen(set, values, [], [], _bench.Start, default);
        var screen = new ExtensionScreen(
            evaluator.Predictor,
            _bench.Amplifier.Circuit.Nodes.Length
        );
        var gains = new double[_bench.Classes.Length];
        screen.Score(evaluator, _bench.Classes.AsSpan(), gains);
        return gains;
    }

    private (ExtensionBase From, ExtensionSolver Solver) From(
        FaultSet set,
        double[] values,
        double[] measured
    )
    {
        var evaluator = _bench.Evaluator(Nodes, measured);
        evaluator.Screen(set, values, [], [], _bench.Start, default);
        var from = new ExtensionBase(
            evaluator,
            set,
            [.. values],
            [.. new double[evaluator.Predictor.Width]]
        );
        var solver = new ExtensionSolver(
            _bench.Predictor(Nodes),
            evaluator.Evidence,
            _model.Volts(FaultSet.Healthy, [])
        );
        solver.Begin(from, default);
        return (from, solver);
    }

    // What of a residual the base's spreads and its one free value leave, squared.
    private double Left(FaultSet set, double[] values, double[] residual)
    {
        var density = Model.Covariance(Freed(_model.Slopes(set, values), "R2", set.Members.Length));
        var all = density.Between(residual, residual);
        if (values.Length == 0)
        {
            return all;
        }
        var column = _model.SlopeOfValue(set, values, 0);
        var along = density.Between(column, residual);
        return all - along * along / density.Between(column, column);
    }

    // A misfit that no reading can spoil: an error of 3 % of what is read and 1 % of what a healthy unit reads.
    private double Coarse(double[] measured, double[] mean)
    {
        var healthy = _model.Volts(FaultSet.Healthy, []);
        return measured
            .Select(
                (y, i) =>
                {
                    var rough = 0.03 * Math.Abs(mean[i]) + 0.01 * Math.Abs(healthy[i]);
                    var variance = SmallBench.Own * SmallBench.Own + rough * rough;
                    return Math.Log(1 + (y - mean[i]) * (y - mean[i]) / variance);
                }
            )
            .Sum();
    }

    private double[][] Freed(double[][] slopes, string part, int members) =>
        members > 0 ? Freed(slopes, part) : slopes;

    private double[][] Freed(double[][] slopes, params string[] parts) =>
        [
            .. slopes.Select(row =>
                row.Select(
                        (slope, t) =>
                            t < _spreads && parts.Contains(_bench.Healthy.Spread.Terms[t].Name)
                                ? 0
                                : slope
                    )
                    .ToArray()
            ),
        ];

    // The healthy value of what a fault sets.
    private double NominalOf(FaultClass fault)
    {
        var workspace = new NetAudit.Simulation.Workspace(_bench.Healthy.Scenes.Normal.Compiled);
        return workspace.Get(fault.Direction.Parameter) / fault.Alterations[0].Coefficient;
    }
}

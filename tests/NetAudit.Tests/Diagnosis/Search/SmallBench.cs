using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>
/// A circuit small enough to reckon by hand, and the steps of the search on it. Two dividers hang on one source: 12 V over 10 kΩ and 10 kΩ
/// (point a), and over 20 kΩ, 10 kΩ and 10 kΩ (points b and c). Beside each step stands <see cref="Model"/>, which gets what the
/// step is said to give by solving again and by finite differences.
/// </summary>
internal sealed class SmallBench
{
    public const string Cards =
        "V1 in 0 12\nR1 in a 10k\nR2 a 0 10k\nR3 in b 20k\nR4 b c 10k\nR5 c 0 10k";

    /// <summary>One sigma of each reading's own error, volts.</summary>
    public const double Own = 0.02;

    public SmallBench(string cards = Cards)
    {
        Amplifier = Amplifiers.Of(cards);
        var compiled = CompiledCircuit.Compile(Amplifier.Circuit);
        var workspace = new Workspace(compiled);
        Assert.True(workspace.Solve([]).Converged);
        Healthy = new(
            Amplifier,
            compiled,
            SpreadModelBuilder.Build(Amplifier, compiled),
            workspace.Volts.ToArray()
        );
        Classes = FaultCatalogue.Of(Amplifier, compiled).Classes;
    }

    public Amplifier Amplifier { get; }

    public HealthyUnit Healthy { get; }

    public ImmutableArray<FaultClass> Classes { get; }

    /// <summary>Node volts of the healthy unit, to start from.</summary>
    public double[] Start => Healthy.VoltsIn(Healthy.Scenes.Normal, default)!;

    /// <summary>The class that a fault of that description belongs to.</summary>
    public FaultClass Fault(string description) =>
        Classes.Single(c => c.Identities.Any(i => i.Fault.Describe() == description));

    public FaultSet Set(params string[] descriptions) =>
        descriptions.Aggregate(FaultSet.Healthy, (set, fault) => set.With(Fault(fault))!);

    public ImmutableArray<Row> RowsAt(params string[] nodes) =>
        [
            .. nodes.Select(node =>
                Row.Of(Healthy.Meter, ReadingKind.Dc, Amplifier.Circuit.FindNode(node), 0, 0)
            ),
        ];

    public Predictor Predictor(params string[] nodes) =>
        new([(Healthy.Scenes.Normal, RowsAt(nodes))], Healthy.Spread, Healthy.Meter);

    /// <summary>Weighs readings of those nodes.</summary>
    public SetEvaluator Evaluator(string[] nodes, double[] volts) =>
        new(Predictor(nodes), Evidence(nodes, volts));

    public ReadingEvidence Evidence(string[] nodes, double[] volts, double healthyLogOdds = 0) =>
        new(
            [
                .. RowsAt(nodes)
                    .Zip(
                        volts,
                        (row, value) => new WeighedReading(Reading(row, value), row, value, Own)
                    ),
            ],
            healthyLogOdds
        );

    /// <summary>Sets near others, and the refiner it goes by, on what the healthy unit was just evaluated for.</summary>
    public (Neighbourhood Neighbourhood, RobustRefiner Refiner) Neighbourhood(
        string[] nodes,
        double[] volts
    )
    {
        var evaluator = Evaluator(nodes, volts);
        var refiner = new RobustRefiner(evaluator, Start, default);
        var acting = KnownEffects(evaluator, nodes).Acting;
        var extensions = Extensions(evaluator, nodes);
        refiner.Calibrate();
        return (new(evaluator, refiner, acting, extensions, default), refiner);
    }

    /// <summary>Adds the faults that act on those nodes to sets.</summary>
    public SolvedExtensions Extensions(SetEvaluator evaluator, params string[] nodes)
    {
        var extensions = new SolvedExtensions(
            evaluator,
            KnownEffects(evaluator, nodes).Acting,
            () => Predictor(nodes)
        );
        evaluator.Screen(FaultSet.Healthy, [], [], [], Start, default);
        extensions.Calibrate();
        return extensions;
    }

    public KnownEffects KnownEffects(SetEvaluator evaluator, params string[] nodes)
    {
        var singles = new SingleEffects(Classes, Healthy);
        singles.Prepare(Healthy.Scenes.Normal, RowsAt(nodes), default);
        return new(singles, evaluator.Predictor, Classes);
    }

    /// <summary>The search for those readings.</summary>
    public FaultSearch Search(string[] nodes, double[] volts, SearchEffort? effort = null)
    {
        var evaluator = Evaluator(nodes, volts);
        return new(
            evaluator,
            new(evaluator.Predictor, Amplifier.Circuit.Nodes.Length),
            KnownEffects(evaluator, nodes),
            Classes,
            Start,
            () => Predictor(nodes),
            effort ?? SearchEffort.Full,
            default
        );
    }

    public Model Model(params string[] nodes) => new(this, nodes);

    /// <summary>What those nodes read under faults, each at a value or, without one, at that of its grid.</summary>
    public double[] Volts(string[] nodes, params (string Fault, double? Value)[] faults)
    {
        var set = Set([.. faults.Select(f => f.Fault)]);
        return Model(nodes)
            .Volts(
                set,
                [
                    .. set.Members.Select(m =>
                        faults.Single(f => Fault(f.Fault) == m).Value ?? m.Range.Grid[0]
                    ),
                ]
            );
    }

    private Reading Reading(Row row, double volts) =>
        new(
            Amplifier.Circuit.Nodes[row.Node].Name,
            row.Node,
            row.Kind,
            volts,
            null,
            null,
            null,
            0,
            Condition.Normal,
            "",
            default
        );
}

/// <summary>What readings of a <see cref="SmallBench"/> are under faults and spreads, by solving, and their derivatives, by differences.</summary>
internal sealed class Model(SmallBench bench, string[] nodes)
{
    private readonly Workspace _workspace = new(CompiledCircuit.Compile(bench.Amplifier.Circuit));
    private readonly SpreadModel _spread = bench.Healthy.Spread;
    private readonly double _gainSigma = bench.Healthy.Meter.GainSigma(ReadingKind.Dc);

    /// <summary>Volts under faults at those values; spreads in standard deviations by the order of the model's terms.</summary>
    public double[] Volts(FaultSet set, double[] values, double[]? spreads = null)
    {
        var workspace = _workspace;
        workspace.Restore();
        for (var term = 0; term < _spread.Terms.Length && spreads is not null; term++)
        {
            var (_, sigma, isFactor, parameters) = _spread.Terms[term];
            foreach (var parameter in parameters)
            {
                var nominal = workspace.Get(parameter);
                workspace.Set(
                    parameter,
                    isFactor
                        ? nominal * Math.Exp(sigma * spreads[term])
                        : nominal + sigma * spreads[term]
                );
            }
        }
        for (var i = 0; i < values.Length; i++)
        {
            set.Members[i].ApplyTo(workspace, values[i]);
        }
        Assert.True(workspace.Solve([]).Converged);
        var volts = new double[nodes.Length];
        var load = bench.Healthy.Meter.LoadOhms(0);
        workspace.Read(
            [.. nodes.Select(n => new Probe(bench.Amplifier.Circuit.FindNode(n), 0, load))],
            [],
            volts,
            []
        );
        return volts;
    }

    /// <summary>Volts by one standard deviation of each spread, the meter's gain last: [readings][spreads].</summary>
    public double[][] Slopes(FaultSet set, double[] values, double[]? spreads = null)
    {
        const double step = 1e-4;
        var here = spreads ?? new double[_spread.Terms.Length];
        var columns = Enumerable
            .Range(0, _spread.Terms.Length)
            .Select(term =>
            {
                var (up, down) = ((double[])here.Clone(), (double[])here.Clone());
                up[term] += step;
                down[term] -= step;
                return Difference(Volts(set, values, up), Volts(set, values, down), 2 * step);
            })
            .Append([.. Volts(set, values, here).Select(v => v * _gainSigma)])
            .ToArray();
        return Transposed(columns);
    }

    /// <summary>Volts by the logarithm of one member's value.</summary>
    public double[] SlopeOfValue(FaultSet set, double[] values, int member)
    {
        const double step = 1e-5;
        var (up, down) = ((double[])values.Clone(), (double[])values.Clone());
        up[member] *= Math.Exp(step);
        down[member] *= Math.Exp(-step);
        return Difference(Volts(set, up), Volts(set, down), 2 * step);
    }

    /// <summary>J J' + D, and what follows from it.</summary>
    public static Normal Covariance(double[][] slopes) =>
        new([
            .. slopes.Select(
                (row, i) =>
                    slopes
                        .Select((other, j) => Dot(row, other) + (i == j ? Own * Own : 0))
                        .ToArray()
            ),
        ]);

    public static double Dot(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum();

    public static double[] Minus(double[] a, double[] b) => [.. a.Zip(b, (x, y) => x - y)];

    private const double Own = SmallBench.Own;

    private static double[] Difference(double[] up, double[] down, double width) =>
        [.. up.Zip(down, (u, d) => (u - d) / width)];

    private static double[][] Transposed(double[][] columns) =>
        [
            .. Enumerable
                .Range(0, columns[0].Length)
                .Select(i => columns.Select(c => c[i]).ToArray()),
        ];
}

/// <summary>A normal distribution about zero, by elimination without any trick.</summary>
internal sealed class Normal
{
    private readonly double[][] _inverse;

    public Normal(double[][] covariance)
    {
        var size = covariance.Length;
        var work = covariance
            .Select(
                (row, i) =>
                    (double[])[.. row, .. Enumerable.Range(0, size).Select(j => i == j ? 1.0 : 0)]
            )
            .ToArray();
        for (var k = 0; k < size; k++)
        {
            LogDeterminant += Math.Log(work[k][k]);
            work[k] = [.. work[k].Select(x => x / work[k][k])];
            for (var i = 0; i < size; i++)
            {
                if (i != k)
                {
                    var factor = work[i][k];
                    work[i] = [.. work[i].Zip(work[k], (x, y) => x - factor * y)];
                }
            }
        }
        _inverse = [.. work.Select(row => row[size..])];
    }

    public double LogDeterminant { get; }

    /// <summary>a' inv(S) b.</summary>
    public double Between(double[] a, double[] b) =>
        Model.Dot(a, [.. _inverse.Select(row => Model.Dot(row, b))]);

    /// <summary>The diagonal of inv(S).</summary>
    public double Precision(int reading) => _inverse[reading][reading];

    /// <summary>Element of inv(S) v.</summary>
    public double Solved(double[] v, int reading) => Model.Dot(_inverse[reading], v);

    public double LogDensity(double[] residual) =>
        -0.5
        * (Between(residual, residual) + LogDeterminant + residual.Length * Math.Log(2 * Math.PI));
}

using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Reference.Hypotheses;

/// <summary>
/// Solves the diagnosis's own fault hypotheses in one condition, reads everything that can be read there, and says which do not settle or
/// give no reading.
/// </summary>
public sealed class HypothesisSweep
{
    private readonly ImmutableArray<FaultClass> classes;
    private readonly FaultedCircuit circuit;
    private readonly double[] start;

    /// <param name="amplifier">The amplifier.</param>
    /// <param name="condition">The condition; null is powered normally.</param>
    public HypothesisSweep(Amplifier amplifier, Condition? condition = null)
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        classes = FaultCatalogue.Of(amplifier, compiled).Classes;
        var workspace = new Workspace(compiled);
        var spread = SpreadModelBuilder.Build(amplifier, compiled);
        if (!workspace.Solve([]).Converged)
        {
            throw new InvalidOperationException("the healthy circuit has no operating point");
        }
        var healthy = new HealthyUnit(amplifier, compiled, spread, workspace.Volts.ToArray());
        var (scene, reason) = healthy.Scenes.Find(condition ?? Condition.Normal);
        if (scene is null || healthy.VoltsIn(scene, CancellationToken.None) is not { } volts)
        {
            throw new InvalidOperationException(reason ?? $"{condition}: no operating point");
        }
        start = volts;
        circuit = healthy.Circuit(scene, [.. Rows(amplifier, scene, volts)]);
    }

    /// <summary>Hypotheses solved so far.</summary>
    public int Solved { get; private set; }

    /// <summary>Every single fault at every value of its grid and at the ends of its range; names of those that fail.</summary>
    public ImmutableArray<string> Singles() =>
        [
            .. classes.SelectMany(fault =>
                Values(fault).Select(value => Solve((fault, value))).OfType<string>()
            ),
        ];

    /// <summary>Random pairs, values drawn between the ends of their ranges, every decade equally likely.</summary>
    public ImmutableArray<string> Pairs(int count, int seed)
    {
        var random = new Random(seed);
        var failed = ImmutableArray.CreateBuilder<string>();
        for (var tried = 0; tried < count; )
        {
            var (first, second) = (Draw(random), Draw(random));
            // Two faults of one joint or value are no pair.
            if (FaultSet.Healthy.With(first.Fault)?.With(second.Fault) is null)
            {
                continue;
            }
            tried++;
            if (Solve(first, second) is { } name)
            {
                failed.Add(name);
            }
        }
        return failed.ToImmutable();
    }

    private static IEnumerable<Row> Rows(Amplifier amplifier, Scene scene, double[] volts)
    {
        var meter = amplifier.Sheet.Meter;
        ReadingKind[] kinds =
            scene.IsOff ? [ReadingKind.Ohms]
            : scene.Signal is null && amplifier.Sheet.Supplies.IsEmpty ? [ReadingKind.Dc]
            : [ReadingKind.Dc, ReadingKind.Ac];
        return kinds.SelectMany(kind =>
            amplifier
                .Points.Select(p => p.Node)
                .Distinct()
                .Select(node => Row.Of(meter, kind, node, 0, volts[node]))
        );
    }

    private static IEnumerable<double> Values(FaultClass fault) =>
        fault.Range.Grid.Prepend(fault.Range.Low).Append(fault.Range.High).Distinct();

    private (FaultClass Fault, double Value) Draw(Random random)
    {
        var fault = classes[random.Next(classes.Length)];
        return (
            fault,
            fault.Range.Low * Math.Pow(fault.Range.High / fault.Range.Low, random.NextDouble())
        );
    }

    private string? Solve(params (FaultClass Fault, double Value)[] faults)
    {
        var set = faults.Aggregate(FaultSet.Healthy, (all, fault) => all.With(fault.Fault)!);
        double[] logValues =
        [
            .. set.Members.Select(m => Math.Log(faults.First(f => f.Fault == m).Value)),
        ];
        Solved++;
        if (!circuit.Solve(set, logValues, [], start, CancellationToken.None))
        {
            return $"{Name(faults)} does not settle";
        }
        circuit.Predictor.ReadMean();
        return Array.Exists(circuit.Predictor.Mean, double.IsNaN)
            ? $"{Name(faults)} gives no reading"
            : null;
    }

    private static string Name((FaultClass Fault, double Value)[] faults) =>
        string.Join(
            " + ",
            faults.Select(fault =>
            {
                var named = fault.Fault.Identities[0].Fault;
                return FormattableString.Invariant(
                    $"{named.Part} {named.Pin} {named.Mode} {fault.Value:G3}"
                );
            })
        );
}

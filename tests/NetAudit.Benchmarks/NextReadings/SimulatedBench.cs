using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Observations;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Simulation;

namespace NetAudit.Benchmarks.NextReadings;

/// <summary>Draws units of one circuit with faults as often as the catalogue says, and the complaints that come with them.</summary>
internal sealed class SimulatedBench
{
    private readonly HealthyUnit healthy;
    private readonly List<(Row Row, double Expected, double Sigma)> points = [];

    public SimulatedBench(Amplifier amplifier)
    {
        Amplifier = amplifier;
        var (diagnoser, reason) = Diagnoser.Prepare(amplifier);
        Diagnoser = diagnoser ?? throw new InvalidOperationException(reason);
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        workspace.Solve([]);
        healthy = new(
            amplifier,
            compiled,
            SpreadModelBuilder.Build(amplifier, compiled),
            workspace.Volts.ToArray()
        );
        FindPoints();
    }

    public Amplifier Amplifier { get; }

    public Diagnoser Diagnoser { get; }

    /// <summary>A unit with that many faults, each of which some voltage or level shows.</summary>
    public SimulatedUnit Draw(int count, Random random)
    {
        while (true)
        {
            var chosen = Enumerable.Range(0, count).Select(_ => DrawFault(random)).ToArray();
            if (
                chosen.All(f => Unit([f], random).IsVisible(points)) && Together(chosen) is not null
            )
            {
                return Unit(chosen, random);
            }
        }
    }

    /// <summary>What the owner of a unit complains of.</summary>
    public string Complaint(SimulatedUnit unit, Random random)
    {
        var weights = Complaints
            .All.Select(complaint =>
                unit.Faults.Members.Max(m =>
                {
                    var fault = m.Identities[0].Fault;
                    var part = Amplifier.FindPart(fault.Part)!;
                    return LikelihoodTable.ComplaintRatio(complaint, part.Class, fault.Mode);
                })
            )
            .ToArray();
        var at = random.NextDouble() * weights.Sum();
        var chosen = 0;
        while ((at -= weights[chosen]) > 0 && chosen < weights.Length - 1)
        {
            chosen++;
        }
        return Complaints.All[chosen];
    }

    private (FaultClass Class, double LogValue) DrawFault(Random random)
    {
        var classes = Diagnoser.Catalogue.Classes;
        var at = random.NextDouble() * classes.Sum(c => c.Share);
        var chosen = 0;
        while ((at -= classes[chosen].Share) > 0 && chosen < classes.Length - 1)
        {
            chosen++;
        }
        var range = classes[chosen].Range;
        var value = Math.Log(range.Low) + random.NextDouble() * range.LogWidth;
        return (classes[chosen], range.IsContinuous ? value : Math.Log(range.Grid[0]));
    }

    private static FaultSet? Together((FaultClass Class, double LogValue)[] faults)
    {
        var set = FaultSet.Healthy;
        foreach (var (fault, _) in faults)
        {
            if (
                set.Members.Any(m => m.Parts.Overlaps(fault.Parts))
                || set.With(fault) is not { } more
            )
            {
                return null;
            }
            set = more;
        }
        return set;
    }

    private SimulatedUnit Unit((FaultClass Class, double LogValue)[] faults, Random random)
    {
        var set = Together(faults)!;
        double[] values =
        [
            .. set.Members.Select(m => faults.First(f => f.Class.Index == m.Index).LogValue),
        ];
        return new(healthy, set, values, [], random);
    }

    private void FindPoints()
    {
        var normal = healthy.Scenes.Normal;
        var volts = healthy.VoltsIn(normal, CancellationToken.None)!;
        ReadingKind[] kinds = normal.Signal is null
            ? [ReadingKind.Dc]
            : [ReadingKind.Dc, ReadingKind.Ac];
        var nodes = Amplifier.Points.Select(p => p.Node).Distinct().ToArray();
        Row[] rows =
        [
            .. kinds.SelectMany(kind =>
                nodes.Select(n => Row.Of(healthy.Meter, kind, n, 0, volts[n]))
            ),
        ];
        var circuit = healthy.Circuit(normal, [.. rows]);
        circuit.Solve(FaultSet.Healthy, [], [], volts, CancellationToken.None);
        circuit.Predictor.Read(0);
        for (var i = 0; i < rows.Length; i++)
        {
            var row = circuit.Predictor.Jacobian.AsSpan(
                i * circuit.Predictor.Width,
                circuit.Predictor.Width
            );
            var own = healthy.Meter.OwnSigma(
                rows[i],
                RowScale.Value(rows[i], circuit.Predictor.Mean[i])
            );
            var variance = own * own;
            foreach (var d in row)
            {
                variance += d * d;
            }
            points.Add((rows[i], circuit.Predictor.Mean[i], Math.Sqrt(variance)));
        }
    }
}

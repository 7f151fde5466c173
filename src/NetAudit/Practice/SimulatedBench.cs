using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Observations;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Practice;

/// <summary>
/// Draws units of one circuit with faults as often as the catalogue says, and the complaints that come with them. Not thread-safe.
/// </summary>
internal sealed class SimulatedBench
{
    private readonly HealthyUnit _healthy;
    private readonly List<(Row Row, double Expected, double Sigma)> _points = [];

    private SimulatedBench(Amplifier amplifier, Diagnoser diagnoser)
    {
        (Amplifier, Diagnoser, _healthy) = (amplifier, diagnoser, diagnoser.Healthy);
        FindPoints();
    }

    public Amplifier Amplifier { get; }

    public Diagnoser Diagnoser { get; }

    /// <summary>The bench of an amplifier, or null with the reason.</summary>
    public static (SimulatedBench? Bench, Diagnostic? Problem) Prepare(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        var (diagnoser, problem) = Diagnoser.Prepare(amplifier, cancellationToken);
        return (diagnoser is null ? null : new(amplifier, diagnoser), problem);
    }

    /// <summary>A unit with that many faults, each of which some voltage or level shows.</summary>
    public SimulatedUnit Draw(
        int count,
        Random random,
        CancellationToken cancellationToken = default
    )
    {
        while (true)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var chosen = Enumerable.Range(0, count).Select(_ => DrawFault(random)).ToArray();
            if (
                chosen.All(f => Unit([f], random).IsVisible(_points))
                && Together(chosen) is not null
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
        return Complaints.All[Drawn(weights, random)];
    }

    private (FaultClass Class, double LogValue) DrawFault(Random random)
    {
        var classes = Diagnoser.Catalogue.Classes;
        var chosen = classes[Drawn([.. classes.Select(c => c.Share)], random)];
        var range = chosen.Range;
        var value = Math.Log(range.Low) + random.NextDouble() * range.LogWidth;
        return (chosen, range.IsContinuous ? value : Math.Log(range.Grid[0]));
    }

    private static int Drawn(double[] weights, Random random)
    {
        var at = random.NextDouble() * weights.Sum();
        var chosen = 0;
        while ((at -= weights[chosen]) > 0 && chosen < weights.Length - 1)
        {
            chosen++;
        }
        return chosen;
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
        return new(_healthy, set, values, random.Next());
    }

    private void FindPoints()
    {
        var normal = _healthy.Scenes.Normal;
        var volts = _healthy.VoltsIn(normal, CancellationToken.None)!;
        ReadingKind[] kinds = normal.Signal is null
            ? [ReadingKind.Dc]
            : [ReadingKind.Dc, ReadingKind.Ac];
        var nodes = Amplifier.Points.Select(p => p.Node).Distinct().ToArray();
        Row[] rows =
        [
            .. kinds.SelectMany(kind =>
                nodes.Select(n => Row.Of(_healthy.Meter, kind, n, 0, volts[n]))
            ),
        ];
        var circuit = _healthy.Circuit(normal, [.. rows]);
        circuit.Solve(FaultSet.Healthy, [], [], volts, CancellationToken.None);
        circuit.Predictor.Read(0);
        for (var i = 0; i < rows.Length; i++)
        {
            var row = circuit.Predictor.Jacobian.AsSpan(
                i * circuit.Predictor.Width,
                circuit.Predictor.Width
            );
            var own = _healthy.Meter.OwnSigma(
                rows[i],
                RowScale.Value(rows[i], circuit.Predictor.Mean[i])
            );
            var variance = own * own;
            foreach (var d in row)
            {
                variance += d * d;
            }
            _points.Add((rows[i], circuit.Predictor.Mean[i], Math.Sqrt(variance)));
        }
    }
}

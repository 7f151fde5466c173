using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Tells whether two fault sets would show a different reading anywhere that a probe can reach, with the kinds of reading and in the
/// conditions that this job uses.
/// </summary>
internal sealed class Distinguisher(
    FaultedCircuit everywhere,
    Meter meter,
    double[] startVolts,
    CancellationToken cancellationToken
)
{
    /// <summary>Levels this many standard deviations of the meter's own error apart are different.</summary>
    private const double Different = 3;

    private readonly Dictionary<Evaluation, double[]?> _predictions = new(
        ReferenceEqualityComparer.Instance
    );

    /// <summary>Looks at every point, powered normally, and at the readings taken in other conditions.</summary>
    /// <param name="healthy">The unit without faults.</param>
    /// <param name="groups">The readings taken.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static Distinguisher Of(
        HealthyUnit healthy,
        ImmutableArray<(Scene Scene, ImmutableArray<Row> Rows)> groups,
        CancellationToken cancellationToken
    )
    {
        var withLevels = groups.Any(g => g.Rows.Any(row => row.Kind == ReadingKind.Ac));
        var normal = healthy.Scenes.Normal;
        var points = healthy
            .EveryPoint(normal, cancellationToken)
            .Where(row => withLevels || row.Kind == ReadingKind.Dc)
            .ToImmutableArray();
        var all = groups
            .Where(g => g.Scene != normal)
            .Prepend((Scene: normal, Rows: points))
            .ToImmutableArray();
        return new(
            new(new(all, healthy.Spread, healthy.Meter)),
            healthy.Meter,
            [.. all.SelectMany(g => healthy.VoltsIn(g.Scene, cancellationToken)!)],
            cancellationToken
        );
    }

    /// <summary>True when no available reading could separate the two: every point reads the same within the meter's last digits.</summary>
    public bool Same(Evaluation first, Evaluation second)
    {
        if (Predict(first) is not { } a || Predict(second) is not { } b)
        {
            return false;
        }
        var rows = everywhere.Predictor.Rows;
        for (var i = 0; i < a.Length; i++)
        {
            if (Math.Abs(a[i] - b[i]) > Step(rows[i], a[i], b[i]))
            {
                return false;
            }
        }
        return true;
    }

    /// <summary>Difference between two readings that the meter does not show.</summary>
    private double Step(in Row row, double a, double b)
    {
        if (row.Kind != ReadingKind.Dc)
        {
            var (first, second) = (RowScale.Value(row, a), RowScale.Value(row, b));
            return Different * Math.Max(meter.OwnSigma(row, first), meter.OwnSigma(row, second));
        }
        var count = Math.Max(meter.Dc.CountSize(a), meter.Dc.CountSize(b));
        return meter.Dc.Counts * count + 1e-3;
    }

    private double[]? Predict(Evaluation evaluation)
    {
        if (!_predictions.TryGetValue(evaluation, out var prediction))
        {
            var logValues = evaluation.Values.Select(Math.Log).ToArray();
            if (everywhere.Solve(evaluation.Set, logValues, [], startVolts, cancellationToken))
            {
                everywhere.Predictor.ReadMean();
                prediction = [.. everywhere.Predictor.Mean];
            }
            _predictions.Add(evaluation, prediction);
        }
        return prediction;
    }
}

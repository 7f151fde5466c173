using NetAudit.Circuits.Sheets;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>Tells whether two fault sets would show a different reading anywhere that a probe can reach.</summary>
internal sealed class Distinguisher(
    FaultedCircuit everywhere,
    Meter meter,
    double[] startVolts,
    CancellationToken cancellationToken
)
{
    private readonly Dictionary<Evaluation, double[]?> _predictions = new(
        ReferenceEqualityComparer.Instance
    );

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
            if (Math.Abs(a[i] - b[i]) > Step(rows[i].Kind, a[i], b[i]))
            {
                return false;
            }
        }
        return true;
    }

    /// <summary>Difference between two readings that the meter does not show.</summary>
    private double Step(ReadingKind kind, double a, double b)
    {
        if (kind != ReadingKind.Dc)
        {
            var (first, second) = (RowScale.Value(kind, a), RowScale.Value(kind, b));
            return Math.Max(meter.OwnSigma(kind, first), meter.OwnSigma(kind, second));
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

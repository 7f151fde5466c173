using NetAudit.Circuits.Sheets;

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
        for (var i = 0; i < a.Length; i++)
        {
            var step = Math.Max(meter.Dc.CountSize(a[i]), meter.Dc.CountSize(b[i]));
            if (Math.Abs(a[i] - b[i]) > meter.Dc.Counts * step + 1e-3)
            {
                return false;
            }
        }
        return true;
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

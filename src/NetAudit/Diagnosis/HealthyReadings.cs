using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Judges each reading against the healthy unit.</summary>
internal static class HealthyReadings
{
    /// <summary>The state of each reading; default when the healthy unit's own cannot be worked out.</summary>
    public static ImmutableArray<ReadingState> Of(
        SetEvaluator evaluator,
        ImmutableArray<WeighedReading> readings,
        Meter meter,
        double[] healthyState,
        CancellationToken cancellationToken
    )
    {
        if (evaluator.Screen(FaultSet.Healthy, [], [], [], healthyState, cancellationToken) is null)
        {
            return default;
        }
        var count = readings.Length;
        var givenOthers = new double[count];
        evaluator.Gaussian.GivenOthers(evaluator.Residual, givenOthers);
        var states = ImmutableArray.CreateBuilder<ReadingState>(count);
        for (var i = 0; i < count; i++)
        {
            var row = readings[i].Row;
            var expected = evaluator.Predictor.Mean[i];
            var inEvidence = evaluator.Gaussian.Sigma(i);
            var sigma = OfHealthy(inEvidence, readings[i], expected, meter);
            var (low, high) = RowScale.Range(
                row,
                expected - ExpectedReading.Limits95 * sigma,
                expected + ExpectedReading.Limits95 * sigma
            );
            states.Add(
                new(
                    readings[i].Reading,
                    RowScale.Value(row, expected),
                    low,
                    high,
                    evaluator.Residual[i] / sigma,
                    givenOthers[i],
                    Questionable: false
                )
                {
                    Row = row,
                    Sigma = inEvidence,
                    Place = readings[i].Place,
                }
            );
        }
        return states.MoveToImmutable();
    }

    /// <summary>
    /// One sigma of what a healthy unit reads: the evidence counts the meter's own error at the value read, which says nothing of a healthy
    /// unit.
    /// </summary>
    private static double OfHealthy(
        double inEvidence,
        WeighedReading read,
        double expected,
        Meter meter
    )
    {
        if (!read.Reading.IsMeasured)
        {
            return inEvidence;
        }
        var own = meter.OwnSigma(read.Row, RowScale.Value(read.Row, expected));
        var spread = Math.Max(0, inEvidence * inEvidence - read.OwnSigma * read.OwnSigma);
        return Math.Sqrt(spread + own * own);
    }
}

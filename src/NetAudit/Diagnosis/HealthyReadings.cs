using System.Collections.Immutable;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Judges each reading against the healthy unit.</summary>
internal static class HealthyReadings
{
    public static ImmutableArray<ReadingState> Of(
        SetEvaluator evaluator,
        ImmutableArray<Reading> readings,
        double[] healthyState,
        CancellationToken cancellationToken
    )
    {
        evaluator.Screen(FaultSet.Healthy, [], [], healthyState, cancellationToken);
        var count = readings.Length;
        var givenOthers = new double[count];
        evaluator.Gaussian.GivenOthers(evaluator.Residual, givenOthers);
        var states = ImmutableArray.CreateBuilder<ReadingState>(count);
        for (var i = 0; i < count; i++)
        {
            var kind = readings[i].Kind;
            var expected = evaluator.Predictor.Mean[i];
            var sigma = evaluator.Gaussian.Sigma(i);
            states.Add(
                new(
                    readings[i],
                    RowScale.Value(kind, expected),
                    RowScale.Value(kind, expected - ExpectedReading.Limits95 * sigma),
                    RowScale.Value(kind, expected + ExpectedReading.Limits95 * sigma),
                    (RowScale.Of(kind, readings[i].Value) - expected) / sigma,
                    givenOthers[i],
                    Questionable: false
                )
            );
        }
        return states.MoveToImmutable();
    }
}

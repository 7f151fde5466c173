using System.Collections.Immutable;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>Judges each reading against the healthy unit.</summary>
internal static class HealthyReadings
{
    public static ImmutableArray<ReadingState> Of(
        SetEvaluator evaluator,
        IReadOnlyList<Reading> readings,
        double[] healthyVolts,
        CancellationToken cancellationToken
    )
    {
        evaluator.Screen(FaultSet.Healthy, [], [], healthyVolts, cancellationToken);
        var count = readings.Count;
        var givenOthers = new double[count];
        evaluator.Gaussian.GivenOthers(evaluator.Residual, givenOthers);
        var states = ImmutableArray.CreateBuilder<ReadingState>(count);
        for (var i = 0; i < count; i++)
        {
            var expected = evaluator.Predictor.Mean[i];
            var sigma = evaluator.Gaussian.Sigma(i);
            states.Add(
                new(
                    readings[i],
                    expected,
                    expected - ExpectedReading.Limits95 * sigma,
                    expected + ExpectedReading.Limits95 * sigma,
                    (readings[i].Value - expected) / sigma,
                    givenOthers[i],
                    Questionable: false
                )
            );
        }
        return states.MoveToImmutable();
    }
}

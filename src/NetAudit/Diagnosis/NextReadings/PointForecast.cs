using System.Collections.Immutable;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>What a further reading would show, given those there are. Volts DC against chassis, powered normally.</summary>
/// <param name="Node">Node index.</param>
/// <param name="Mean">Expected reading, volts.</param>
/// <param name="Sigma">One standard deviation, volts: what is still open about the fault, the part values and the meter.</param>
internal readonly record struct PointForecast(int Node, double Mean, double Sigma);

/// <summary>Foretells readings from weighed fault sets.</summary>
internal static class PointForecasts
{
    /// <summary>Sets less probable than this, and all but so many of the others, are left out.</summary>
    private const double LeastShare = 0.01;
    private const int MostSets = 8;

    /// <summary>Forecast at every point, over the sets in proportion to their probability.</summary>
    /// <param name="healthy">The amplifier.</param>
    /// <param name="readings">The readings that were weighed, in the order given to the diagnosis.</param>
    /// <param name="sets">Sets with their probability.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static ImmutableArray<PointForecast> Of(
        HealthyUnit healthy,
        IReadOnlyList<Reading> readings,
        IReadOnlyList<(Evaluation Evaluation, double Probability)> sets,
        CancellationToken cancellationToken
    )
    {
        var selection = ReadingSelection.Of(readings, healthy, cancellationToken);
        var normal = healthy.Scenes.Normal;
        ReadingCandidate[] points =
        [
            .. healthy
                .EveryPoint(normal, cancellationToken)
                .Where(row => row.Kind == ReadingKind.Dc)
                .Select(row => new ReadingCandidate("", normal, row, Cost: 0)),
        ];
        var before = new Predictor(selection.Groups, healthy.Spread, healthy.Meter);
        var table = new OutcomeTable(healthy, selection, before, points, cancellationToken);
        var circuit = table.NewCircuit();
        var (means, sigmas) = (new double[points.Length], new double[points.Length]);
        var (sums, squares) = (new double[points.Length], new double[points.Length]);
        var weight = 0.0;
        foreach (var (evaluation, probability) in Leading(sets))
        {
            if (!table.Predict(circuit, evaluation, means, sigmas, cancellationToken))
            {
                continue;
            }
            weight += probability;
            for (var i = 0; i < points.Length; i++)
            {
                sums[i] += probability * means[i];
                squares[i] += probability * (means[i] * means[i] + sigmas[i] * sigmas[i]);
            }
        }
        return weight == 0
            ? []
            :
            [
                .. points.Select(
                    (point, i) =>
                    {
                        var mean = sums[i] / weight;
                        var variance = squares[i] / weight - mean * mean;
                        return new PointForecast(
                            point.Row.Node,
                            mean,
                            Math.Sqrt(Math.Max(0, variance))
                        );
                    }
                ),
            ];
    }

    private static IEnumerable<(Evaluation Evaluation, double Probability)> Leading(
        IReadOnlyList<(Evaluation Evaluation, double Probability)> sets
    ) =>
        sets.OrderByDescending(set => set.Probability)
            .Take(MostSets)
            .Where(set => set.Probability >= LeastShare);
}

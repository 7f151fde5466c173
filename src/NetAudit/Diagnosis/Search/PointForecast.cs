using System.Collections.Immutable;
using System.Numerics.Tensors;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

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
    /// <param name="nodes">The points.</param>
    /// <param name="readings">The readings that were weighed, in the order given to the diagnosis.</param>
    /// <param name="sets">Sets with their probability.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static ImmutableArray<PointForecast> Of(
        HealthyUnit healthy,
        IReadOnlyList<int> nodes,
        IReadOnlyList<Reading> readings,
        IReadOnlyList<(Evaluation Evaluation, double Probability)> sets,
        CancellationToken cancellationToken
    )
    {
        var meter = healthy.Meter;
        var selection = ReadingSelection.Of(readings, healthy, cancellationToken);
        var normal = healthy.Scenes.Normal;
        var volts = healthy.VoltsIn(normal, cancellationToken)!;
        var points = nodes.Select(n => Row.Of(meter, ReadingKind.Dc, n, 0, volts[n])).ToArray();
        var groups = selection.Groups.Add((normal, [.. points]));
        var predictor = new Predictor(groups, healthy.Spread, meter);
        var start = groups
            .SelectMany(group => healthy.VoltsIn(group.Scene, cancellationToken)!)
            .ToArray();
        var evidence = new ReadingEvidence(selection.Weighed, 0);
        var circuit = new FaultedCircuit(predictor);
        var gaussian = new GaussianEvidence(selection.Weighed.Length);
        var (sum, squares, weight) = (new double[nodes.Count], new double[nodes.Count], 0.0);
        foreach (var (evaluation, probability) in Leading(sets))
        {
            cancellationToken.ThrowIfCancellationRequested();
            var logValues = evaluation.Values.Select(Math.Log).ToArray();
            if (
                !circuit.Solve(
                    evaluation.Set,
                    logValues,
                    evaluation.Amounts.AsSpan(),
                    start,
                    cancellationToken
                )
            )
            {
                continue;
            }
            predictor.Read(circuit.Edits);
            var own = evidence.Own.ToArray();
            foreach (var slip in evaluation.Slips)
            {
                own[slip] = evidence.SlipSigma[slip];
            }
            gaussian.Decompose(
                predictor.Jacobian.AsSpan(0, own.Length * predictor.Width),
                predictor.Width,
                own
            );
            weight += probability;
            for (var i = 0; i < nodes.Count; i++)
            {
                var mean = predictor.Mean[own.Length + i];
                var ownSigma = meter.OwnSigma(points[i], mean);
                var variance = Left(predictor, gaussian, own.Length, i) + ownSigma * ownSigma;
                sum[i] += probability * mean;
                squares[i] += probability * (mean * mean + variance);
            }
        }
        return weight == 0
            ? []
            :
            [
                .. nodes.Select(
                    (node, i) =>
                    {
                        var mean = sum[i] / weight;
                        var variance = squares[i] / weight - mean * mean;
                        return new PointForecast(node, mean, Math.Sqrt(Math.Max(0, variance)));
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

    /// <summary>Variance that the readings leave of a point: J J' less what they tell, K inv(S) K'.</summary>
    private static double Left(
        Predictor predictor,
        GaussianEvidence gaussian,
        int readings,
        int point
    )
    {
        var width = predictor.Width;
        var row = predictor.Jacobian.AsSpan((readings + point) * width, width);
        Span<double> shared = new double[readings];
        for (var i = 0; i < readings; i++)
        {
            shared[i] = TensorPrimitives.Dot<double>(
                row,
                predictor.Jacobian.AsSpan(i * width, width)
            );
        }
        gaussian.Whiten(shared);
        return Math.Max(
            0,
            TensorPrimitives.SumOfSquares<double>(row)
                - TensorPrimitives.SumOfSquares<double>(shared)
        );
    }
}

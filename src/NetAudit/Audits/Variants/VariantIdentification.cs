using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Diagnosis.NextReadings;
using NetAudit.Diagnosis.Ranking;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Audits.Variants;

/// <summary>How well a circuit, healthy or with one fault, explains the readings.</summary>
/// <param name="Variant">Index of the circuit.</param>
/// <param name="Probability">Probability among the circuits given, all equally likely before.</param>
/// <param name="LogEvidence">Log probability density of the readings, healthy and single faults summed up; nats.</param>
/// <param name="Diagnosis">The diagnosis of the readings as this circuit's; null when it has no operating point.</param>
public sealed record RankedVariant(
    int Variant,
    double Probability,
    double LogEvidence,
    DiagnosisResult? Diagnosis
);

/// <summary>A reading that two circuits foretell differently, given the readings there are. Volts DC against chassis.</summary>
/// <param name="At">The point as the circuit calls it whose names the readings use.</param>
/// <param name="FirstNode">Node in the most probable circuit.</param>
/// <param name="SecondNode">Node in the second most probable circuit.</param>
/// <param name="First">What the most probable circuit would show.</param>
/// <param name="FirstSigma">One standard deviation of that.</param>
/// <param name="Second">What the second would show.</param>
/// <param name="SecondSigma">One standard deviation of that.</param>
public sealed record TellingReading(
    string At,
    int FirstNode,
    int SecondNode,
    double First,
    double FirstSigma,
    double Second,
    double SecondSigma
)
{
    /// <summary>Difference in standard deviations: above 3 the reading decides.</summary>
    public double Separation =>
        Math.Abs(First - Second) / Math.Sqrt(FirstSigma * FirstSigma + SecondSigma * SecondSigma);
}

/// <summary>Which of several circuits a unit on the bench is. Immutable.</summary>
/// <param name="Ranking">The circuits, most probable first.</param>
/// <param name="Readings">Number of readings that were weighed.</param>
/// <param name="Telling">Readings not yet taken that would tell the first two apart, best first.</param>
/// <param name="Notes">What was left out or could not be known, in words.</param>
public sealed record VariantIdentification(
    ImmutableArray<RankedVariant> Ranking,
    int Readings,
    ImmutableArray<TellingReading> Telling,
    ImmutableArray<string> Notes
)
{
    /// <summary>Weighs the circuits.</summary>
    /// <param name="variants">The circuits.</param>
    /// <param name="readings">The readings, carried over to each.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static VariantIdentification Of(
        IReadOnlyList<Amplifier> variants,
        VariantReadings readings,
        CancellationToken cancellationToken = default
    )
    {
        var diagnosers = variants
            .Select(variant => Diagnoser.Prepare(variant, cancellationToken).Diagnoser)
            .ToArray();
        var options = new DiagnosisOptions { MaxFaults = 1, WithNext = false };
        var used = Enumerable.Range(0, readings.Readings[0].Length).ToArray();
        DiagnosisResult?[] results = [];
        // What one circuit cannot weigh is left out for all: densities of different readings cannot be compared.
        for (var before = -1; before != used.Length; )
        {
            before = used.Length;
            results =
            [
                .. diagnosers.Select(
                    (diagnoser, v) =>
                        diagnoser?.Diagnose(
                            [.. used.Select(i => readings.Readings[v][i])],
                            options,
                            cancellationToken
                        )
                ),
            ];
            used = [.. used.Where(i => WeighedByAll(results, readings, i))];
        }
        var evidence = results.Select(LogEvidence).ToArray();
        var probabilities = Posterior.Normalise(evidence);
        RankedVariant[] ranking =
        [
            .. Enumerable
                .Range(0, variants.Count)
                .Select(v => new RankedVariant(v, probabilities[v], evidence[v], results[v]))
                .OrderByDescending(ranked => ranked.LogEvidence)
                .ThenBy(ranked => ranked.Variant),
        ];
        return new(
            [.. ranking],
            used.Length,
            used.Length == 0
                ? []
                : Tell(variants, diagnosers, readings, used, ranking, cancellationToken),
            [.. NotesOf(variants, results)]
        );
    }

    private static bool WeighedByAll(DiagnosisResult?[] results, VariantReadings readings, int i) =>
        results
            .Select((result, v) => (result, v))
            .All(pair =>
                pair.result is null
                || pair.result.Readings.Any(state =>
                    ReferenceEquals(state.Reading, readings.Readings[pair.v][i])
                )
            );

    private static double LogEvidence(DiagnosisResult? result)
    {
        if (result is null || result.Evaluations.IsEmpty)
        {
            return double.NegativeInfinity;
        }
        var logs = Single(result).Select(evaluation => evaluation.LogPosterior).ToArray();
        var highest = logs.Max();
        return highest + Math.Log(logs.Sum(log => Math.Exp(log - highest)));
    }

    /// <summary>The healthy unit and the single faults, best first.</summary>
    private static IEnumerable<Evaluation> Single(DiagnosisResult result) =>
        result.Evaluations.Where(evaluation => evaluation.Set.Members.Length <= 1);

    private static ImmutableArray<TellingReading> Tell(
        IReadOnlyList<Amplifier> variants,
        Diagnoser?[] diagnosers,
        VariantReadings readings,
        int[] used,
        RankedVariant[] ranking,
        CancellationToken cancellationToken
    )
    {
        if (ranking.Length < 2 || ranking[1].Diagnosis is null)
        {
            return [];
        }
        var (first, second) = (ranking[0], ranking[1]);
        var matching = VariantMatching.Of(
            variants[first.Variant],
            variants[second.Variant],
            cancellationToken
        );
        var names = Names(variants, readings.NamedBy, first.Variant, cancellationToken);
        var mine = Forecast(first).ToDictionary(forecast => forecast.Node);
        var its = Forecast(second).ToDictionary(forecast => forecast.Node);
        var read = used.Select(i => readings.Readings[first.Variant][i])
            .Where(reading =>
                reading is { Kind: ReadingKind.Dc, RefNode: 0, Condition.Terms.IsEmpty: true }
            )
            .Select(reading => reading.Node)
            .ToHashSet();
        return
        [
            .. matching
                .Nodes.Where(match =>
                    mine.ContainsKey(match.First)
                    && its.ContainsKey(match.Second)
                    && !read.Contains(match.First)
                )
                .Select(match => new TellingReading(
                    names(match.First),
                    match.First,
                    match.Second,
                    mine[match.First].Mean,
                    mine[match.First].Sigma,
                    its[match.Second].Mean,
                    its[match.Second].Sigma
                ))
                .OrderByDescending(telling => telling.Separation),
        ];

        ImmutableArray<PointForecast> Forecast(RankedVariant ranked)
        {
            var sets = Single(ranked.Diagnosis!).ToArray();
            var shares = Posterior.Normalise([.. sets.Select(set => set.LogPosterior)]);
            return PointForecasts.Of(
                diagnosers[ranked.Variant]!.Healthy,
                [.. used.Select(i => readings.Readings[ranked.Variant][i])],
                [.. sets.Zip(shares)],
                cancellationToken
            );
        }
    }

    /// <summary>Names of a circuit's nodes in another circuit; its own where that has no such node.</summary>
    private static Func<int, string> Names(
        IReadOnlyList<Amplifier> variants,
        int namedBy,
        int variant,
        CancellationToken cancellationToken
    )
    {
        if (namedBy == variant)
        {
            return node => variants[variant].Circuit.Nodes[node].Name;
        }
        var there = VariantMatching
            .Of(variants[namedBy], variants[variant], cancellationToken)
            .Nodes.ToDictionary(match => match.Second, match => match.First);
        return node =>
            there.TryGetValue(node, out var named)
                ? variants[namedBy].Circuit.Nodes[named].Name
                : variants[variant].Circuit.Nodes[node].Name;
    }

    private static IEnumerable<string> NotesOf(
        IReadOnlyList<Amplifier> variants,
        DiagnosisResult?[] results
    ) =>
        results.SelectMany(
            (result, v) =>
                result is null
                    ?
                    [
                        $"{Titles.Of(variants[v])}: no operating point was found; its probability is unknown.",
                    ]
                    : result.Notes.Select(note => $"{Titles.Of(variants[v])}: {note}")
        );
}

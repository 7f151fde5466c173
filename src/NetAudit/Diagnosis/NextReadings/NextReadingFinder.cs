using System.Collections.Immutable;
using NetAudit.Diagnosis.Ranking;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>Finds the readings that would tell most about the suspects for their cost.</summary>
internal static class NextReadingFinder
{
    /// <summary>Suspects that the readings are to split; the rest is too improbable to matter.</summary>
    private const int MostSuspects = 40;
    private const double LeastProbability = 2e-3;

    /// <summary>A reading that tells less than this, in bits, is not worth the walk.</summary>
    private const double LeastGain = 0.05;

    /// <summary>With one set of faults this probable the next step is its repair.</summary>
    private const double NearCertain = 0.97;

    /// <summary>Readings proposed.</summary>
    private const int MostProposed = 5;

    /// <summary>The best next readings, best first; empty when nothing more is worth it.</summary>
    public static ImmutableArray<NextReading> Find(
        HealthyUnit healthy,
        ReadingSelection selection,
        Predictor predictor,
        SuspectRanking ranking,
        IReadOnlyList<Reading> taken,
        string? complaint,
        CancellationToken cancellationToken
    )
    {
        var hypotheses = ranking
            .Sets.SelectMany(Members)
            .Append((Evaluation: ranking.HealthyEvaluation, Probability: ranking.Healthy))
            .Where(h => h.Probability >= LeastProbability)
            .OrderByDescending(h => h.Probability)
            .Take(MostSuspects)
            .Select(h => (h.Evaluation, h.Probability, Words: Words(h.Evaluation)))
            .ToArray();
        if (hypotheses is [{ Probability: > NearCertain } first, ..] && HasFault(first.Evaluation))
        {
            return [];
        }
        var candidates = CandidateList.Of(healthy, taken, complaint, cancellationToken);
        var table = new OutcomeTable(healthy, selection, predictor, candidates, cancellationToken);
        var means = new double[hypotheses.Length][];
        var sigmas = new double[hypotheses.Length][];
        var known = new List<int>();
        for (var h = 0; h < hypotheses.Length; h++)
        {
            means[h] = new double[candidates.Count];
            sigmas[h] = new double[candidates.Count];
            if (table.Predict(hypotheses[h].Evaluation, means[h], sigmas[h], cancellationToken))
            {
                known.Add(h);
            }
        }
        if (known.Count < 2)
        {
            return [];
        }
        var total = known.Sum(h => hypotheses[h].Probability);
        var suspects = known
            .Select(h => new OutcomeWords.Suspect(
                hypotheses[h].Words,
                hypotheses[h].Probability / total
            ))
            .ToArray();
        double[] probabilities = [.. suspects.Select(s => s.Probability)];
        var scored = new List<(int Candidate, double Gain)>();
        for (var i = 0; i < candidates.Count; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var gain = InformationGain.OfMeasurement(
                probabilities,
                [.. known.Select(h => means[h][i])],
                [.. known.Select(h => sigmas[h][i])]
            );
            if (gain >= LeastGain)
            {
                scored.Add((i, gain));
            }
        }
        return
        [
            .. scored
                .OrderByDescending(s => s.Gain / candidates[s.Candidate].Cost)
                .ThenBy(s => s.Candidate)
                .Take(MostProposed)
                .Select(s =>
                {
                    var candidate = candidates[s.Candidate];
                    var words = new OutcomeWords(
                        candidate,
                        suspects,
                        [.. known.Select(h => means[h][s.Candidate])],
                        [.. known.Select(h => sigmas[h][s.Candidate])]
                    );
                    return new NextReading(
                        candidate.At,
                        candidate.Kind,
                        candidate.Scene.Condition,
                        s.Gain,
                        candidate.Cost,
                        words.Why(),
                        words.Outcomes(),
                        ReadingCautions.Of(candidate)
                    )
                    {
                        IsAcross = healthy.Amplifier.FindPoint(candidate.At) is null,
                    };
                }),
        ];
    }

    /// <summary>Sets that the readings used so far cannot separate; another kind of reading may.</summary>
    private static IEnumerable<(Evaluation Evaluation, double Probability)> Members(
        RankedSet ranked
    )
    {
        Evaluation[] members = [ranked.Leading, .. ranked.Equivalents];
        var shares = Posterior.Normalise([.. members.Select(m => m.LogPosterior)]);
        return members.Select((m, i) => (m, ranked.Probability * shares[i]));
    }

    private static bool HasFault(Evaluation evaluation) => !evaluation.Set.Members.IsEmpty;

    private static string Words(Evaluation evaluation) =>
        !HasFault(evaluation)
            ? "a sound unit"
            : string.Join(
                " + ",
                evaluation.Set.Members.Select(
                    (member, i) => SuspectNames.Primary(member, evaluation.Values[i]).Describe()
                )
            );
}

using System.Collections.Immutable;
using NetAudit.Circuits;
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

    /// <summary>With one set of faults this probable, readings are worth taking for what may be wrong besides.</summary>
    private const double Probable = 0.5;

    /// <summary>With one set of faults this probable, and a further one improbable, the next step is its repair.</summary>
    private const double NearCertain = 0.97;
    private const double FurtherImprobable = 0.1;

    /// <summary>Readings proposed.</summary>
    private const int MostProposed = 5;

    /// <summary>The best next readings, best first; empty when nothing more is worth it.</summary>
    public static ImmutableArray<NextReading> Find(
        HealthyUnit healthy,
        ReadingSelection selection,
        Predictor predictor,
        SuspectRanking ranking,
        FurtherFaults further,
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
            .Select(h => new Hypothesis(h.Evaluation, h.Probability, Words(h.Evaluation), null))
            .ToArray();
        if (hypotheses is [{ Probability: > Probable } first, ..] && HasFault(first.Evaluation))
        {
            if (first.Probability > NearCertain && !(further.Probability >= FurtherImprobable))
            {
                return [];
            }
            if (further.Probability > LeastProbability)
            {
                hypotheses = [.. WithFurther(hypotheses, further)];
            }
        }
        foreach (var candidates in CandidateList.Of(healthy, taken, complaint, cancellationToken))
        {
            if (candidates.Count == 0)
            {
                continue;
            }
            var table = new OutcomeTable(
                healthy,
                selection,
                predictor,
                candidates,
                cancellationToken
            );
            var volts = TouchedVolts.Known(healthy, candidates, taken, cancellationToken);
            var best = Best(
                table,
                hypotheses,
                candidates,
                volts,
                healthy.Amplifier,
                complaint,
                cancellationToken
            );
            if (!best.IsEmpty)
            {
                return best;
            }
        }
        return [];
    }

    private static ImmutableArray<NextReading> Best(
        OutcomeTable table,
        Hypothesis[] hypotheses,
        IReadOnlyList<ReadingCandidate> candidates,
        double[] knownVolts,
        Amplifier amplifier,
        string? complaint,
        CancellationToken cancellationToken
    )
    {
        var means = new double[hypotheses.Length][];
        var sigmas = new double[hypotheses.Length][];
        var volts = new double[hypotheses.Length][];
        var settled = new bool[hypotheses.Length];
        new SolverPool<FaultedCircuit>(table.NewCircuit).ForEach(
            hypotheses.Length,
            _ => { },
            (h, circuit) =>
            {
                means[h] = new double[candidates.Count];
                sigmas[h] = new double[candidates.Count];
                volts[h] = new double[candidates.Count];
                settled[h] = table.Predict(
                    circuit,
                    hypotheses[h].Evaluation,
                    means[h],
                    sigmas[h],
                    cancellationToken
                );
                if (settled[h])
                {
                    table.ReadTouched(circuit, volts[h]);
                }
            },
            cancellationToken
        );
        int[] known = [.. Enumerable.Range(0, hypotheses.Length).Where(h => settled[h])];
        if (known.Length < 2)
        {
            return [];
        }
        var total = known.Sum(h => hypotheses[h].Probability);
        var suspects = known
            .Select(h => new OutcomeWords.Suspect(
                hypotheses[h].Words,
                hypotheses[h].Probability / total,
                hypotheses[h].Further
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
                        ReadingCautions.Of(
                            candidate,
                            Math.Max(
                                knownVolts[s.Candidate],
                                known.Max(h => volts[h][s.Candidate])
                            ),
                            complaint == Complaints.BlowsFuse
                        )
                    )
                    {
                        IsAcross = amplifier.FindPoint(candidate.At) is null,
                    };
                }),
        ];
    }

    /// <summary>The first suspect alone, and with each of the further faults that its readings would not show.</summary>
    private static IEnumerable<Hypothesis> WithFurther(
        Hypothesis[] hypotheses,
        FurtherFaults further
    )
    {
        var first = hypotheses[0];
        var named = further.PerPart.Take(MostSuspects - hypotheses.Length).ToArray();
        // Those that are left out are looked for by what shows the others.
        var scale = further.Probability / named.Sum(f => f.Probability);
        return
        [
            first with
            {
                Probability = first.Probability * (1 - further.Probability),
            },
            .. named.Select(f =>
            {
                var set = first.Evaluation.Set.With(f.Fault)!;
                var values = first.Evaluation.Values.Insert(set.Members.IndexOf(f.Fault), f.Value);
                var evaluation = first.Evaluation with { Set = set, Values = values };
                var fault = SuspectNames.Primary(f.Fault, f.Value).Describe();
                return new Hypothesis(
                    evaluation,
                    first.Probability * scale * f.Probability,
                    $"also {fault}",
                    fault
                );
            }),
            .. hypotheses[1..],
        ];
    }

    /// <summary>What a reading may speak for.</summary>
    /// <param name="Evaluation">The set of faults.</param>
    /// <param name="Probability">Its probability.</param>
    /// <param name="Words">In words.</param>
    /// <param name="Further">The fault that has not shown yet, in words; null when all have.</param>
    private readonly record struct Hypothesis(
        Evaluation Evaluation,
        double Probability,
        string Words,
        string? Further
    );

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

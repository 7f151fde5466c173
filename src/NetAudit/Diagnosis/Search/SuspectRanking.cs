using System.Collections.Immutable;
using NetAudit.Diagnosis.Ranking;

namespace NetAudit.Diagnosis.Search;

/// <summary>A suspect before it has words: the set that stands for it, those that nothing can tell from it, and their joint probability.</summary>
internal sealed record RankedSet(
    Evaluation Leading,
    ImmutableArray<Evaluation> Equivalents,
    double Probability
);

/// <summary>Turns evaluated sets into probabilities.</summary>
/// <param name="Healthy">Probability of the healthy unit.</param>
/// <param name="HealthyEvaluation">The healthy unit's own evaluation.</param>
/// <param name="Sets">Sets with a fault, most probable first.</param>
internal sealed record SuspectRanking(
    double Healthy,
    Evaluation HealthyEvaluation,
    ImmutableArray<RankedSet> Sets
)
{
    /// <summary>Sets this far below the best, in nats, cannot matter.</summary>
    private const double Negligible = 14;

    /// <summary>
    /// Ranks: a set whose further fault shows nowhere, or for which no reading speaks, says no more than the smaller set and is dropped
    /// (what may be there without having shown is counted together, <see cref="FurtherFaults"/>); sets that no reading could separate are
    /// one suspect; the rest is Bayes.
    /// </summary>
    public static SuspectRanking Of(IReadOnlyList<Evaluation> found, Distinguisher distinguisher)
    {
        var healthy = found.First(e => e.Set.Members.IsEmpty);
        var best = found.Max(e => e.LogPosterior);
        var relevant = found
            .Where(e => e.LogPosterior > best - Negligible)
            .OrderBy(e => e.Set.Members.Length)
            .ThenByDescending(e => e.LogPosterior)
            .ToArray();
        if (!relevant.Contains(healthy))
        {
            relevant = [healthy, .. relevant];
        }
        var kept = new List<Evaluation>();
        foreach (var evaluation in relevant)
        {
            // A single fault that shows nowhere yet stays: another kind of reading may show it.
            var smaller = kept.Where(k =>
                !k.Set.Members.IsEmpty && k.Set.Members.Length < evaluation.Set.Members.Length
            );
            if (
                !smaller.Any(k =>
                    evaluation.Set.Contains(k.Set)
                    && (
                        evaluation.LogLikelihood <= k.LogLikelihood
                        || distinguisher.Same(k, evaluation)
                    )
                )
            )
            {
                kept.Add(evaluation);
            }
        }
        var probabilities = Posterior.Normalise([.. kept.Select(k => k.LogPosterior)]);
        var order = Enumerable
            .Range(0, kept.Count)
            .OrderByDescending(i => probabilities[i])
            .ThenBy(i => i);
        var groups = new List<(Evaluation Leading, List<Evaluation> Others, double Probability)>();
        foreach (var i in order.Where(i => kept[i] != healthy))
        {
            var at = groups.FindIndex(g =>
                g.Leading.Set.Members.Length == kept[i].Set.Members.Length
                && distinguisher.Same(g.Leading, kept[i])
            );
            if (at < 0)
            {
                groups.Add((kept[i], [], probabilities[i]));
            }
            else
            {
                groups[at].Others.Add(kept[i]);
                groups[at] = groups[at] with
                {
                    Probability = groups[at].Probability + probabilities[i],
                };
            }
        }
        return new(
            probabilities[kept.IndexOf(healthy)],
            healthy,
            [
                .. groups
                    .OrderByDescending(g => g.Probability)
                    .Select(g => new RankedSet(g.Leading, [.. g.Others], g.Probability)),
            ]
        );
    }
}

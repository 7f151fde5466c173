using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Diagnosis.Search;

/// <summary>A set worth evaluating: a set already evaluated, and one more fault.</summary>
/// <param name="Base">The evaluated set.</param>
/// <param name="Values">Its values.</param>
/// <param name="Extra">The further fault.</param>
/// <param name="Score">Foretold log posterior.</param>
internal readonly record struct Candidate(
    FaultSet Base,
    ImmutableArray<double> Values,
    FaultClass Extra,
    double Score
);

/// <summary>Keeps the best foretold sets of a great many offered.</summary>
internal sealed class Foretold(int capacity)
{
    // Smallest score first, so that the one to give way is at hand.
    private readonly PriorityQueue<Candidate, double> _queue = new(capacity + 1);

    /// <summary>Offers an extension; a score below all that are kept costs one comparison.</summary>
    public void Offer(FaultSet set, ImmutableArray<double> values, FaultClass extra, double score)
    {
        if (_queue.Count == capacity)
        {
            if (!_queue.TryPeek(out _, out var least) || score <= least)
            {
                return;
            }
            _queue.Dequeue();
        }
        _queue.Enqueue(new(set, values, extra, score), score);
    }

    /// <summary>The best sets that can exist, each once, best first.</summary>
    public List<(FaultSet Set, Candidate Origin)> Best(int count)
    {
        var best = new Dictionary<string, (FaultSet Set, Candidate Origin)>();
        foreach (var (candidate, _) in _queue.UnorderedItems)
        {
            if (candidate.Base.With(candidate.Extra) is not { } set)
            {
                continue;
            }
            if (!best.TryGetValue(set.Key, out var known) || known.Origin.Score < candidate.Score)
            {
                best[set.Key] = (set, candidate);
            }
        }
        return
        [
            .. best.OrderByDescending(b => b.Value.Origin.Score)
                .ThenBy(b => b.Key, StringComparer.Ordinal)
                .Take(count)
                .Select(b => b.Value),
        ];
    }
}

namespace NetAudit.Audits.Variants.Matching;

/// <summary>
/// Settles a correspondence: scores every unit against those that stand at its nodes or share its name, finds the best assignment in each
/// group of rivals, lets the nodes follow, and repeats until nothing moves. Says how sure each match is.
/// </summary>
internal sealed class Settlement(
    CircuitGraph first,
    CircuitGraph second,
    PairScores scores,
    Correspondence known,
    CancellationToken cancellationToken
)
{
    private const int MostRounds = 4;

    /// <summary>Larger groups of rivals are settled pair by pair, best first.</summary>
    private const int MostInGroup = 120;

    private readonly Dictionary<string, int> _unitNames = Index(second, 0, second.Units.Length);
    private readonly Dictionary<string, int> _nodeNames = Index(
        second,
        second.Units.Length,
        second.Count
    );

    public VertexMatch[] Run()
    {
        for (var round = 0; round < MostRounds; round++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var moved = Settle(0, first.Units.Length);
            moved |= Settle(first.NodeVertex(1), first.Count);
            if (!moved)
            {
                break;
            }
        }
        return [.. Matches()];
    }

    private bool Settle(int from, int to)
    {
        var moved = false;
        var pairs = Pairs(from, to);
        var standing = pairs.Select(pair => (pair.First, pair.Second)).ToHashSet();
        for (var mine = from; mine < to; mine++)
        {
            if (known.SecondOf(mine) >= 0 && !standing.Contains((mine, known.SecondOf(mine))))
            {
                known.Remove(mine);
                moved = true;
            }
        }
        foreach (var group in RivalGroups.Of(pairs))
        {
            var chosen = group
                .Settle(MostInGroup)
                .Select(pair => (pair.First, pair.Second, Trust: TrustIn(pair.First, pair.Second)))
                .ToArray();
            moved |= chosen.Any(pair => known.SecondOf(pair.First) != pair.Second);
            foreach (var mine in group.Firsts.Where(mine => known.SecondOf(mine) >= 0))
            {
                known.Remove(mine);
            }
            foreach (var (mine, its, trust) in chosen)
            {
                known.Add(mine, its, trust);
            }
        }
        return moved;
    }

    // A new match has nothing to inherit: its own evidence must carry it.
    private double TrustIn(int mine, int its) =>
        known.SecondOf(mine) == its ? known.Trust(mine) : 1;

    /// <summary>Pairs that speak for themselves, with the score above that of having no counterpart.</summary>
    private List<(int First, int Second, double Score)> Pairs(int from, int to)
    {
        var pairs = new List<(int, int, double)>();
        for (var vertex = from; vertex < to; vertex++)
        {
            var threshold = scores.Threshold(vertex);
            foreach (var other in Alternatives(vertex))
            {
                var score = scores.Of(vertex, other, known) - threshold;
                if (score > 0)
                {
                    pairs.Add((vertex, other, score));
                }
            }
        }
        return pairs;
    }

    /// <summary>The match, its namesake, and what stands beside the counterpart of its quietest neighbour.</summary>
    private HashSet<int> Alternatives(int vertex)
    {
        var found = new HashSet<int>();
        if (known.SecondOf(vertex) >= 0)
        {
            found.Add(known.SecondOf(vertex));
        }
        var names = first.IsUnit(vertex) ? _unitNames : _nodeNames;
        if (
            names.TryGetValue(first.NameOf(vertex), out var namesake)
            && AreOfOneKind(vertex, namesake)
        )
        {
            found.Add(namesake);
        }
        var quietest = -1;
        foreach (var (neighbour, _) in first.Neighbours(vertex))
        {
            var there = known.SecondOf(neighbour);
            if (
                there >= 0
                && (
                    quietest < 0
                    || second.Neighbours(there).Length < second.Neighbours(quietest).Length
                )
            )
            {
                quietest = there;
            }
        }
        if (quietest >= 0)
        {
            foreach (var (other, _) in second.Neighbours(quietest))
            {
                if (AreOfOneKind(vertex, other))
                {
                    found.Add(other);
                }
            }
        }
        return found;
    }

    private IEnumerable<VertexMatch> Matches()
    {
        for (var vertex = 0; vertex < first.Count; vertex++)
        {
            var its = known.SecondOf(vertex);
            if (its >= 0)
            {
                yield return new(vertex, its, Confidence(vertex, its));
            }
        }
    }

    private double Confidence(int vertex, int its)
    {
        if (vertex == first.NodeVertex(0))
        {
            return 1;
        }
        var score = scores.Of(vertex, its, known);
        var rivals = Math.Exp(scores.Threshold(vertex) - score);
        foreach (var other in Alternatives(vertex))
        {
            rivals += other == its ? 0 : Math.Exp(scores.Of(vertex, other, known) - score);
        }
        return Math.Min(known.Trust(vertex), 1 / (1 + rivals));
    }

    private bool AreOfOneKind(int vertex, int other) =>
        first.IsUnit(vertex)
            ? second.IsUnit(other) && first.Units[vertex].Kind == second.Units[other].Kind
            : !second.IsUnit(other) && other != second.NodeVertex(0);

    private static Dictionary<string, int> Index(CircuitGraph graph, int from, int to)
    {
        var index = new Dictionary<string, int>(StringComparer.OrdinalIgnoreCase);
        for (var vertex = from; vertex < to; vertex++)
        {
            index[graph.NameOf(vertex)] = vertex;
        }
        return index;
    }
}

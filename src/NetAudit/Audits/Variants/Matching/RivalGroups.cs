namespace NetAudit.Audits.Variants.Matching;

/// <summary>Pairs of which none can be chosen without regard to the others.</summary>
internal sealed class RivalGroup
{
    private readonly List<(int First, int Second, double Score)> _pairs = [];

    /// <summary>The vertices of the first circuit.</summary>
    public IEnumerable<int> Firsts => _pairs.Select(pair => pair.First).Distinct();

    public void Add((int First, int Second, double Score) pair) => _pairs.Add(pair);

    /// <summary>The best choice of pairs.</summary>
    /// <param name="mostAtOnce">A group with more vertices on a side is settled greedily.</param>
    public IEnumerable<(int First, int Second)> Settle(int mostAtOnce)
    {
        var rows = Firsts.ToArray();
        var columns = _pairs.Select(pair => pair.Second).Distinct().ToArray();
        if (rows.Length > mostAtOnce || columns.Length > mostAtOnce)
        {
            return Greedily();
        }
        var scores = new double[rows.Length, columns.Length];
        foreach (var (first, second, score) in _pairs)
        {
            scores[Array.IndexOf(rows, first), Array.IndexOf(columns, second)] = score;
        }
        return Assignment
            .Solve(scores)
            .Select((column, row) => (Row: row, Column: column))
            .Where(pair => pair.Column >= 0)
            .Select(pair => (rows[pair.Row], columns[pair.Column]));
    }

    private List<(int, int)> Greedily()
    {
        var (firsts, seconds) = (new HashSet<int>(), new HashSet<int>());
        var chosen = new List<(int, int)>();
        foreach (var (first, second, _) in _pairs.OrderByDescending(pair => pair.Score))
        {
            if (!firsts.Contains(first) && !seconds.Contains(second))
            {
                firsts.Add(first);
                seconds.Add(second);
                chosen.Add((first, second));
            }
        }
        return chosen;
    }
}

/// <summary>Divides candidate pairs into groups of rivals.</summary>
internal static class RivalGroups
{
    public static IEnumerable<RivalGroup> Of(List<(int First, int Second, double Score)> pairs)
    {
        // Union of the sides of every pair; the second circuit's vertices are the negative numbers.
        var parent = new Dictionary<int, int>();
        foreach (var (first, second, _) in pairs)
        {
            parent[Root(first)] = Root(~second);
        }
        return pairs
            .GroupBy(pair => Root(pair.First))
            .Select(members =>
            {
                var group = new RivalGroup();
                foreach (var pair in members)
                {
                    group.Add(pair);
                }
                return group;
            })
            .ToArray();

        int Root(int vertex)
        {
            while (parent.TryGetValue(vertex, out var up) && up != vertex)
            {
                if (parent.TryGetValue(up, out var further))
                {
                    parent[vertex] = further;
                }
                vertex = up;
            }
            return vertex;
        }
    }
}

namespace NetAudit.Common;

/// <summary>Finds the name that a mistyped one was probably meant to be.</summary>
internal static class NearestName
{
    /// <summary>
    /// The candidate nearest to <paramref name="name"/> (case-insensitive; ties go to the first), or null when none is near: at most one
    /// slip in three characters, where a slip is a character too many, missing, wrong, or two neighbours exchanged.
    /// </summary>
    public static string? Find(string name, IEnumerable<string> candidates)
    {
        string? best = null;
        var allowed = Math.Max(1, name.Length / 3);
        foreach (var candidate in candidates)
        {
            var slips = Slips(name.ToUpperInvariant(), candidate.ToUpperInvariant());
            if (slips < Math.Min(allowed + 1, candidate.Length))
            {
                best = candidate;
                allowed = slips - 1;
            }
        }
        return best;
    }

    /// <summary>A mend for a message: <c>did you mean "p1"?</c>, or null when nothing is near.</summary>
    public static string? Mend(string name, IEnumerable<string> candidates) =>
        Find(name, candidates) is { } nearest ? $"did you mean \"{nearest}\"?" : null;

    // Optimal string alignment distance, three rows at a time.
    private static int Slips(string from, string to)
    {
        var beforeLast = new int[to.Length + 1];
        var last = Enumerable.Range(0, to.Length + 1).ToArray();
        for (var i = 1; i <= from.Length; i++)
        {
            var row = new int[to.Length + 1];
            row[0] = i;
            for (var j = 1; j <= to.Length; j++)
            {
                var change = from[i - 1] == to[j - 1] ? 0 : 1;
                row[j] = Math.Min(Math.Min(last[j] + 1, row[j - 1] + 1), last[j - 1] + change);
                if (i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1])
                {
                    row[j] = Math.Min(row[j], beforeLast[j - 2] + 1);
                }
            }
            (beforeLast, last) = (last, row);
        }
        return last[to.Length];
    }
}

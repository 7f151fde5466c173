namespace NetAudit.Netlists;

/// <summary>Finds what a misspelt name may have meant.</summary>
internal static class Suggestions
{
    private const int LongestCompared = 64;
    private const int MostCompared = 1000;

    /// <summary>
    /// The candidate nearest to <paramref name="name"/> by edit distance (insert, delete, replace, swap neighbours; case ignored), or null
    /// when none is within a third of its length.
    /// </summary>
    public static string? Nearest(string name, IEnumerable<string> candidates)
    {
        var allowed = Math.Max(1, Math.Min(3, name.Length / 3));
        var best = allowed + 1;
        string? nearest = null;
        foreach (var candidate in candidates.Take(MostCompared))
        {
            if (
                candidate.Length > LongestCompared
                || name.Length > LongestCompared
                || Math.Abs(candidate.Length - name.Length) >= best
            )
            {
                continue;
            }
            var distance = Distance(name.ToUpperInvariant(), candidate.ToUpperInvariant());
            if (
                distance < best
                || (distance == best && string.CompareOrdinal(candidate, nearest) < 0)
            )
            {
                (best, nearest) = (distance, candidate);
            }
        }
        return nearest;
    }

    /// <summary>As a mend: <c>did you mean X?</c>, or null.</summary>
    public static string? DidYouMean(string name, IEnumerable<string> candidates) =>
        Nearest(name, candidates) is { } nearest ? $"did you mean {nearest}?" : null;

    private static int Distance(string a, string b)
    {
        var rows = new int[a.Length + 1, b.Length + 1];
        for (var i = 0; i <= a.Length; i++)
        {
            rows[i, 0] = i;
        }
        for (var j = 0; j <= b.Length; j++)
        {
            rows[0, j] = j;
        }
        for (var i = 1; i <= a.Length; i++)
        {
            for (var j = 1; j <= b.Length; j++)
            {
                var replaced = rows[i - 1, j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
                var least = Math.Min(replaced, Math.Min(rows[i - 1, j], rows[i, j - 1]) + 1);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    least = Math.Min(least, rows[i - 2, j - 2] + 1);
                }
                rows[i, j] = least;
            }
        }
        return rows[a.Length, b.Length];
    }
}

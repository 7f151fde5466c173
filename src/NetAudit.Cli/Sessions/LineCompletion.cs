namespace NetAudit.Cli.Sessions;

/// <summary>Completes what is being typed from a list of names, without regard to case.</summary>
internal static class LineCompletion
{
    /// <summary>The text as far as the names agree on it, and the names that begin with it.</summary>
    public static (string Text, string[] Candidates) Complete(
        string typed,
        IEnumerable<string> names
    )
    {
        var candidates = names
            .Where(name => name.StartsWith(typed, StringComparison.OrdinalIgnoreCase))
            .Distinct(StringComparer.OrdinalIgnoreCase)
            .ToArray();
        return candidates switch
        {
            [] => (typed, []),
            [var only] => (only + " ", candidates),
            _ => (candidates[0][..Agreement(candidates)], candidates),
        };
    }

    private static int Agreement(string[] candidates)
    {
        var length = candidates.Min(name => name.Length);
        for (var i = 0; i < length; i++)
        {
            if (
                candidates.Any(name =>
                    char.ToUpperInvariant(name[i]) != char.ToUpperInvariant(candidates[0][i])
                )
            )
            {
                return i;
            }
        }
        return length;
    }
}

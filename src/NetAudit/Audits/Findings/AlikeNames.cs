using NetAudit.Circuits;

namespace NetAudit.Audits.Findings;

/// <summary>
/// Pairs of names that may be one name misspelt. Numbers tell nodes apart on purpose (<c>g1</c>, <c>g2</c>), and so do first and last
/// letters (<c>outA</c>, <c>outB</c>): these count only when one of the two is a node with one connection, numbers not at all.
/// </summary>
internal static class AlikeNames
{
    // Shorter names are too few to differ by more than a letter.
    private const int LeastLetters = 3;
    private const int LeastLettersOfBusy = 5;
    private const string LookAlikes = "O0 0O I1 1I L1 1L";

    /// <summary>The pairs, each once. Names are compared within their block only.</summary>
    public static IEnumerable<(Node First, Node Second)> Find(Node[] nodes, HashSet<int> lone)
    {
        var seen = new HashSet<(int, int)>();
        foreach (var block in nodes.GroupBy(node => BlockOf(node.Name)))
        {
            var pairs = block
                .SelectMany(node => Patterns(NameOf(node.Name)).Select(key => (key, node)))
                .GroupBy(pair => pair.key, pair => pair.node)
                .SelectMany(alike => Pairs([.. alike]));
            foreach (var (first, second) in pairs)
            {
                var isLone = lone.Contains(first.Index) || lone.Contains(second.Index);
                if (
                    seen.Add((first.Index, second.Index))
                    && IsSlip(NameOf(first.Name), NameOf(second.Name), isLone)
                )
                {
                    yield return (first, second);
                }
            }
        }
    }

    private static string BlockOf(string name) => name[..(name.LastIndexOf('.') + 1)];

    private static string NameOf(string name) =>
        name[(name.LastIndexOf('.') + 1)..].ToUpperInvariant();

    // Names one edit apart share one of these: the name, the name without one letter, the name with a hole.
    private static IEnumerable<string> Patterns(string name)
    {
        yield return name;
        for (var i = 0; i < name.Length; i++)
        {
            yield return name.Remove(i, 1);
            yield return name.Remove(i, 1).Insert(i, " ");
        }
    }

    private static IEnumerable<(Node, Node)> Pairs(Node[] alike) =>
        from i in Enumerable.Range(0, alike.Length)
        from j in Enumerable.Range(i + 1, alike.Length - i - 1)
        where alike[i].Index < alike[j].Index
        select (alike[i], alike[j]);

    private static bool IsSlip(string a, string b, bool isLone)
    {
        if (a.Length > b.Length)
        {
            (a, b) = (b, a);
        }
        var least = isLone ? LeastLetters : LeastLettersOfBusy;
        if (a.Length < least || b.Length - a.Length > 1)
        {
            return false;
        }
        var at = 0;
        while (at < a.Length && a[at] == b[at])
        {
            at++;
        }
        var isInside = at > 0 && at < a.Length - 1;
        if (b.Length > a.Length)
        {
            return a[at..] == b[(at + 1)..] && !char.IsAsciiDigit(b[at]) && (isLone || isInside);
        }
        var (x, y) = (a[at], b[at]);
        var areDigits = char.IsAsciiDigit(x) && char.IsAsciiDigit(y);
        if (a[(at + 1)..] == b[(at + 1)..])
        {
            return !areDigits
                && (isLone || isInside || LookAlikes.Contains($"{x}{y}", StringComparison.Ordinal));
        }
        return char.IsLetter(x)
            && char.IsLetter(y)
            && at + 1 < a.Length
            && x == b[at + 1]
            && y == a[at + 1]
            && a[(at + 2)..] == b[(at + 2)..];
    }
}

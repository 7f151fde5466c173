using System.Collections.Immutable;
using NetAudit.Netlists;

namespace NetAudit.Diagnosis;

/// <summary>What owners complain of: a fixed list, so that jobs can be counted by it.</summary>
public static class Complaints
{
    /// <summary>The complaint about a unit that draws too much to be switched on before it was measured with the power off.</summary>
    public const string BlowsFuse = "blows fuse";

    /// <summary>The complaints, by the names that files have.</summary>
    public static ImmutableArray<string> All { get; } =
    [
        "no sound",
        "weak",
        "crackles",
        "hums",
        "distorts",
        BlowsFuse,
        "one channel dead",
        "intermittent",
    ];

    /// <summary>The complaint that a text means, whatever its case and blanks; null and a hint when it is none.</summary>
    public static (string? Complaint, string? Hint) Find(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var words = string.Join(' ', text.Split(' ', StringSplitOptions.RemoveEmptyEntries));
        var found = All.FirstOrDefault(c => c.Equals(words, StringComparison.OrdinalIgnoreCase));
        return found is not null
            ? (found, null)
            : (
                null,
                Suggestions.DidYouMean(words, All) ?? $"it is one of {string.Join(", ", All)}"
            );
    }
}

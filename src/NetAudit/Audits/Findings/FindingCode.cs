using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Audits.Findings;

/// <summary>A kind of finding. Codes are stable: one is never given another meaning.</summary>
/// <param name="Name">The code: words joined by hyphens, <c>lone-node</c>.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Title">What it is, in a few words.</param>
/// <param name="Explanation">Why it matters.</param>
/// <param name="Mend">What mends it.</param>
public sealed record FindingCode(
    string Name,
    Severity Severity,
    string Title,
    string Explanation,
    string Mend
)
{
    private static readonly Lazy<ImmutableArray<FindingCode>> Loaded = new(Load);

    /// <summary>All codes, in the order of <c>Data/finding-codes.csv</c>.</summary>
    public static ImmutableArray<FindingCode> All => Loaded.Value;

    /// <summary>The code of that name (case-insensitive), or null.</summary>
    public static FindingCode? Find(string name) =>
        All.FirstOrDefault(code => code.Name.Equals(name, StringComparison.OrdinalIgnoreCase));

    /// <summary>The code nearest to a misspelt one, as a question, or null.</summary>
    public static string? DidYouMean(string name) =>
        Netlists.Suggestions.DidYouMean(name, All.Select(code => code.Name));

    private static ImmutableArray<FindingCode> Load() =>
        [
            .. EmbeddedTable
                .Read("finding-codes.csv")
                .Select(row => new FindingCode(
                    row["code"],
                    Enum.Parse<Severity>(row["severity"], ignoreCase: true),
                    row["title"],
                    row["explanation"],
                    row["mend"]
                )),
        ];
}

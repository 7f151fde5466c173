using NetAudit.Common;

namespace NetAudit.Audits.Findings;

/// <summary>One thing that the audit says about a circuit.</summary>
/// <param name="Code">What kind of finding it is.</param>
/// <param name="At">What it is about: a node, a part, a tube section, a definition; the name an <c>[[accept]]</c> gives.</param>
/// <param name="Where">The card or sheet table it points to, or null when it concerns the circuit as a whole.</param>
/// <param name="Message">One sentence in plain words.</param>
/// <param name="Mend">What would mend it here.</param>
public sealed record Finding(
    FindingCode Code,
    string At,
    SourceSpan? Where,
    string Message,
    string Mend
)
{
    /// <summary>The reason for which the sheet accepts it, or null.</summary>
    public string? Accepted { get; init; }
}

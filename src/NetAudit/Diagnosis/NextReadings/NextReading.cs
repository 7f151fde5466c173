using System.Collections.Immutable;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>A reading worth taking.</summary>
/// <param name="At">
/// Where: a point, or for a resistance the part that it is read across; its two ends (<c>in-b1</c>) where a node has its name.
/// </param>
/// <param name="Kind">What to measure or do.</param>
/// <param name="Condition">The state to take it in.</param>
/// <param name="GainBits">What it is expected to tell about the suspects, in bits.</param>
/// <param name="Cost">Effort and hazard, relative to a DC reading at a low voltage.</param>
/// <param name="Why">What it splits, in words.</param>
/// <param name="Outcomes">What each outcome would mean, most probable first.</param>
/// <param name="Caution">What to mind there.</param>
public sealed record NextReading(
    string At,
    ReadingKind Kind,
    Condition Condition,
    double GainBits,
    double Cost,
    string Why,
    ImmutableArray<string> Outcomes,
    string Caution
)
{
    /// <summary>True when <see cref="At"/> names a part or its two ends, with a probe at each; else the other probe is at chassis.</summary>
    public bool IsAcross { get; init; }

    /// <summary>The reading as it is typed, in two parts: the value goes between them.</summary>
    public (string Before, string After) Typed =>
        (
            $"{At}{(Kind == ReadingKind.Dc ? "" : $" {Kind.Name()}")} ",
            Condition.Terms.IsEmpty ? "" : $" @ {Condition}"
        );
}

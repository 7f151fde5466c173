using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Diagnosis;

/// <summary>What a suspect has overloaded, in words.</summary>
public static class OverloadWords
{
    private const int MostNamed = 4;

    /// <summary>The sentence that sends the reader to these parts; none when there are none.</summary>
    public static IEnumerable<string> Sentences(Suspect suspect)
    {
        var parts = suspect.Overloaded;
        if (parts.IsEmpty)
        {
            yield break;
        }
        string[] named = [.. parts.Take(MostNamed).Select(Named)];
        if (parts.Length > MostNamed)
        {
            named = [.. named, $"{parts.Length - MostNamed} more"];
        }
        yield return $"Also look at {Figures.Listed(named)}: {(suspect.Faults.Length == 1 ? "this fault has" : "these faults have")} overloaded {(parts.Length == 1 ? "it" : "them")}.";
    }

    private static string Named(OverloadedPart part) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{part.Part} ({part.What} at {100 * part.Ratio:0} % of its limit)"
        );
}

using System.Globalization;

namespace NetAudit.Common;

/// <summary>Figures as reports print them.</summary>
public static class Figures
{
    /// <summary>Standard deviations with their sign: <c>+14.1</c>.</summary>
    public static string Deviation(double deviation) =>
        // Rounded first: a negative figure that prints as nothing would get two signs.
        Math.Round(deviation, 1)
            .ToString(
                Math.Abs(deviation) >= 99.95 ? "+0;-0" : "+0.0;-0.0;+0.0",
                CultureInfo.InvariantCulture
            );

    /// <summary>A probability: <c>83 %</c>, never rounded up to certainty.</summary>
    public static string Probability(double probability) =>
        probability switch
        {
            > 0.995 => "over 99 %",
            >= 0.0095 => (100 * probability).ToString("0", CultureInfo.InvariantCulture) + " %",
            _ => "under 1 %",
        };

    /// <summary>A count with its noun: <c>1 reading</c>, <c>2 readings</c>.</summary>
    public static string Count(int count, string noun) =>
        count == 1 ? $"1 {noun}" : $"{count} {noun}s";

    /// <summary>Words as a list: <c>a, b and c</c>.</summary>
    public static string Listed(IReadOnlyList<string> words) =>
        words.Count < 2
            ? string.Concat(words)
            : $"{string.Join(", ", words.SkipLast(1))} and {words[^1]}";
}

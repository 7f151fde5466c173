using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Audits.Stresses;

/// <summary>Limits of diodes and transistors by type, <c>Data/semiconductor-ratings.csv</c>.</summary>
internal static class SemiconductorRatings
{
    private static readonly Lazy<ImmutableDictionary<(string, string), double>> Ratings = new(Load);

    /// <summary>The limit, and the type it is of; null when the type is not known. A model <c>Q2N3904</c> is of type 2N3904.</summary>
    public static (double Limit, string Type)? Find(string? sheetType, string model, string rating)
    {
        string[] names = [sheetType ?? model, model.Length > 1 ? model[1..] : model];
        foreach (var name in names)
        {
            if (Ratings.Value.TryGetValue((name.ToUpperInvariant(), rating), out var limit))
            {
                return (limit, name);
            }
        }
        return null;
    }

    private static ImmutableDictionary<(string, string), double> Load() =>
        EmbeddedTable
            .Read("semiconductor-ratings.csv")
            .ToImmutableDictionary(
                row => (row["type"].ToUpperInvariant(), row["rating"]),
                row => double.Parse(row["value"], CultureInfo.InvariantCulture)
            );
}

using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary>The built-in tolerances, <c>Data/tolerances.csv</c>.</summary>
internal static class ToleranceFile
{
    public static ToleranceTable Load() =>
        new(
            EmbeddedTable
                .Read("tolerances.csv")
                .ToImmutableSortedDictionary(
                    row => row["key"],
                    row => new Tolerance(
                        Number(row["low"]),
                        Number(row["high"]),
                        row["meaning"] == "sigma"
                    ),
                    StringComparer.Ordinal
                )
        );

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}

using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Audits.Findings;

/// <summary>The preferred numbers of IEC 60063 and those made before them, from <c>Data/preferred-values.csv</c>.</summary>
internal static class PreferredValues
{
    // Values from expressions carry rounding.
    private const double Rounding = 1e-6;

    private static readonly Lazy<(string Name, double? Tolerance, double[] Decade)[]> Series = new(
        Load
    );

    /// <summary>Whether parts of that value and tolerance (a fraction; null: not known) are made.</summary>
    public static bool Holds(double value, double? tolerance) =>
        Series.Value.Any(series =>
            (series.Tolerance is not { } limit || tolerance <= limit)
            && series.Decade.Any(preferred => IsSame(value, preferred))
        );

    /// <summary>The nearest value of E24, by ratio.</summary>
    public static double Nearest(double value)
    {
        var decade = Math.Floor(Math.Log10(value));
        return Series
            .Value.First(series => series.Name == "E24")
            .Decade.SelectMany(preferred => new[] { preferred, 10 * preferred })
            .Select(preferred => preferred * Math.Pow(10, decade))
            .MinBy(candidate => Math.Abs(Math.Log(candidate / value)));
    }

    // The decade holds numbers from 1 to below 10.
    private static bool IsSame(double value, double preferred)
    {
        var ratio = Math.Log10(value / preferred);
        return Math.Abs(ratio - Math.Round(ratio)) < Rounding;
    }

    private static (string, double?, double[])[] Load() =>
        [
            .. EmbeddedTable
                .Read("preferred-values.csv")
                .Select(row =>
                    (
                        row["series"],
                        row["tolerance"].Length == 0 ? (double?)null : Number(row["tolerance"]),
                        row["values"].Split(' ').Select(Mantissa).ToArray()
                    )
                ),
        ];

    private static double Mantissa(string text)
    {
        var value = Number(text);
        return value / Math.Pow(10, Math.Floor(Math.Log10(value) + 1e-12));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}

using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Audits.Stresses;

/// <summary>When a fuse opens at a current. Seconds; infinite when it need not open at all.</summary>
/// <param name="Least">Shortest time; 0 when no lower limit is given.</param>
/// <param name="Most">Longest time.</param>
public readonly record struct FuseOpening(double Least, double Most)
{
    /// <summary>It carries the current for an hour or more.</summary>
    public bool Holds => double.IsInfinity(Least);

    /// <summary>It is sure to open.</summary>
    public bool Opens => double.IsFinite(Most);
}

/// <summary>
/// Time-current points of miniature fuses, <c>Data/fuse-curves.csv</c> (IEC 60127-2), joined by straight lines in logarithms. Thread-safe.
/// </summary>
public static class FuseCurve
{
    // IEC 60127-2: 1.5 times the rated current for at least an hour; from the first point of the table up it must open.
    internal const double HoldingMultiple = 1.5;

    private static readonly Lazy<ImmutableArray<Row>> Rows = new(Load);

    /// <summary>When a fuse opens, or null when no curve of its letter and rating is known.</summary>
    /// <param name="amps">Current, amperes.</param>
    /// <param name="rated">Rated current, amperes, above 0.</param>
    /// <param name="speed">Letter of its time characteristic, or null for quick (F): the marking of old fuses without a letter.</param>
    public static FuseOpening? Find(double amps, double rated, string? speed)
    {
        var points = PointsOf(rated, speed);
        if (points.Length == 0)
        {
            return null;
        }
        var multiple = Math.Abs(amps) / rated;
        if (multiple <= HoldingMultiple)
        {
            return new(double.PositiveInfinity, double.PositiveInfinity);
        }
        if (multiple < points[0].Multiple)
        {
            // Between holding and the first point it may open, and need not.
            return new(0, double.PositiveInfinity);
        }
        // Beyond the last point it opens no later than there; how soon is not said.
        return new(
            At(multiple, points, row => row.Least) ?? 0,
            At(multiple, points, row => row.Most) ?? points[^1].Most
        );
    }

    /// <summary>
    /// Whether a fuse opens in a surge too short for it to lose heat: below the I²t of the gate at the highest current that has a lower
    /// limit it holds, above that of the last gate it is sure to open. Null when no curve is known.
    /// </summary>
    /// <param name="heat">Ampere-squared seconds that went through it while the current was above what it carries for an hour.</param>
    /// <param name="rated">Rated current, amperes, above 0.</param>
    /// <param name="speed">As in <see cref="Find"/>.</param>
    public static FuseOpening? FindSurge(double heat, double rated, string? speed)
    {
        var points = PointsOf(rated, speed);
        if (points.Length == 0)
        {
            return null;
        }
        double Heat(Row gate, double seconds) =>
            gate.Multiple * rated * gate.Multiple * rated * seconds;
        var least = points.Last(gate => gate.Least > 0);
        return heat < Heat(least, least.Least)
                ? new(double.PositiveInfinity, double.PositiveInfinity)
            : heat < Heat(points[^1], points[^1].Most) ? new(0, double.PositiveInfinity)
            : new(0, points[^1].Most);
    }

    private static Row[] PointsOf(double rated, string? speed) =>
        [
            .. Rows.Value.Where(row =>
                row.Speed == (speed ?? "F")
                && rated >= row.From * (1 - 1e-9)
                && rated <= row.To * (1 + 1e-9)
            ),
        ];

    // Between two points that give a time, straight in logarithms; null outside.
    private static double? At(double multiple, Row[] points, Func<Row, double> seconds)
    {
        var known = points.Where(point => seconds(point) > 0).ToArray();
        for (var i = 1; i < known.Length; i++)
        {
            var (low, high) = (known[i - 1], known[i]);
            if (multiple >= low.Multiple && multiple <= high.Multiple)
            {
                var part =
                    Math.Log(multiple / low.Multiple) / Math.Log(high.Multiple / low.Multiple);
                return seconds(low) * Math.Pow(seconds(high) / seconds(low), part);
            }
        }
        return null;
    }

    private static ImmutableArray<Row> Load() =>
        [
            .. EmbeddedTable
                .Read("fuse-curves.csv")
                .Select(row => new Row(
                    row["speed"],
                    Number(row["amps_from"]),
                    Number(row["amps_to"]),
                    Number(row["multiple"]),
                    row["least_seconds"].Length == 0 ? 0 : Number(row["least_seconds"]),
                    Number(row["most_seconds"])
                ))
                .OrderBy(row => row.Multiple),
        ];

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private sealed record Row(
        string Speed,
        double From,
        double To,
        double Multiple,
        double Least,
        double Most
    );
}

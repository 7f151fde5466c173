using System.Globalization;
using NetAudit.Audits.Stresses;
using NetAudit.Audits.Variants;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>What parts endure at idle, variant beside variant, against their limits.</summary>
internal static class ComparedStresses
{
    // A twentieth of the limit more or less, or a tenth of what has no limit, is worth a line.
    private const double LeastOfLimit = 0.05;
    private const double LeastRatio = 1.1;

    // Watts, volts and amperes below these bear on nothing.
    private const double LeastWatts = 0.02;
    private const double LeastVolts = 5;
    private const double LeastAmps = 1e-3;

    // What is less comes from rounding.
    private const double Rounding = 1e-9;

    public static void Write(Screen screen, VariantComparison comparison, int mostRows)
    {
        var rows = ComparisonTable.Stresses(comparison);
        var shown = mostRows == int.MaxValue ? rows : [.. rows.Where(Matters).Take(mostRows)];
        if (shown.IsEmpty)
        {
            return;
        }
        screen.Heading("Endured at idle, and of the limit: what differs most");
        var letters = Enumerable
            .Range(0, comparison.Variants.Length)
            .SelectMany(i => new[] { (VariantNames.Letter(i), Side.Right), ("", Side.Right) });
        var table = new TextTable([("part", Side.Left), ("what", Side.Left), .. letters]);
        foreach (var row in shown)
        {
            table.Add([
                VariantNames.Of(row.Unit),
                row.Kind.Describe(),
                .. row.Levels.SelectMany(level => Cells(level, row.Kind.Unit())),
            ]);
        }
        table.Write(screen, "  ");
    }

    private static string[] Cells(StressLevel? level, string unit) =>
        level is { } known
            ?
            [
                known.Value < Rounding
                    ? $"0 {unit}"
                    : EngineeringNotation.Format(known.Value, unit, 3),
                known.Ratio is { } ratio
                    ? (100 * ratio).ToString("0", CultureInfo.InvariantCulture) + " %"
                    : "",
            ]
            : ["-", ""];

    private static bool Matters(StressRow row)
    {
        var levels = row.Levels.OfType<StressLevel>().ToArray();
        var ratios = levels.Select(level => level.Ratio).OfType<double>().ToArray();
        if (ratios.Length > 0)
        {
            return ratios.Max() - ratios.Min() > LeastOfLimit;
        }
        var most = levels.Max(level => level.Value);
        var least = row.Kind.Unit() switch
        {
            "W" => LeastWatts,
            "A" => LeastAmps,
            _ => LeastVolts,
        };
        return most > least && most > LeastRatio * levels.Min(level => level.Value);
    }
}

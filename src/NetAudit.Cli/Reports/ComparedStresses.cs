using NetAudit.Audits.Stresses;
using NetAudit.Audits.Variants;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Reports;

/// <summary>What parts endure at idle, variant beside variant, against their limits.</summary>
internal static class ComparedStresses
{
    public static void Write(Screen screen, VariantComparison comparison, int mostRows)
    {
        var rows = ComparisonTable.Stresses(comparison);
        StressRow[] shown =
            mostRows == int.MaxValue
                ? [.. rows]
                : [.. rows.Where(row => row.IsTelling).Take(mostRows)];
        if (shown.Length == 0)
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
                .. row.Levels.SelectMany(level =>
                    new[] { VariantNames.Look(level, row.Kind.Unit()), VariantNames.OfLimit(level) }
                ),
            ]);
        }
        table.Write(screen, "  ");
    }
}

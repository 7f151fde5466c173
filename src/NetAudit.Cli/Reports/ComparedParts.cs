using System.Globalization;
using NetAudit.Audits.Variants;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>The table of parts that differ in value or type, or are missing.</summary>
internal static class ComparedParts
{
    /// <summary>Variants side by side in one table; more are continued in a further one.</summary>
    private const int MostColumns = 5;

    public static void Write(Screen screen, VariantComparison comparison)
    {
        var lines = ComparisonTable
            .Parts(comparison)
            .Where(line => Looks(comparison, line).Distinct().Count() > 1)
            .ToArray();
        if (lines.Length == 0)
        {
            return;
        }
        var count = comparison.Variants.Length;
        for (var from = 1; from < count; from += MostColumns - 1)
        {
            int[] shown = [0, .. Enumerable.Range(from, Math.Min(MostColumns - 1, count - from))];
            Write(screen, comparison, lines, shown);
        }
    }

    private static void Write(
        Screen screen,
        VariantComparison comparison,
        VariantLine[] lines,
        int[] shown
    )
    {
        screen.Heading("Parts that differ");
        var table = new TextTable([
            ("part", Side.Left),
            .. shown.Select(variant => (VariantNames.Letter(variant), Side.Right)),
            (shown.Length == 2 ? "change" : "", Side.Right),
            (shown.Length == 2 ? "sure" : "", Side.Right),
        ]);
        foreach (var line in lines)
        {
            var units = shown
                .Select(variant => ComparisonTable.UnitOf(comparison, line, variant))
                .ToArray();
            table.Add([
                VariantNames.Of(
                    units.FirstOrDefault(unit => unit is not null) ?? First(comparison, line)
                ),
                .. units.Select(unit => Cell(unit, line.Name)),
                shown.Length == 2 ? Change(units[0], units[1]) : "",
                shown.Length == 2 ? Confidence(comparison.Differences[shown[1] - 1], line) : "",
            ]);
        }
        table.Write(screen, "  ");
    }

    private static VariantUnit First(VariantComparison comparison, VariantLine line) =>
        Enumerable
            .Range(0, comparison.Variants.Length)
            .Select(variant => ComparisonTable.UnitOf(comparison, line, variant))
            .First(unit => unit is not null)!;

    private static string[] Looks(VariantComparison comparison, VariantLine line) =>
        [
            .. Enumerable
                .Range(0, comparison.Variants.Length)
                .Select(variant =>
                    VariantNames.Look(ComparisonTable.UnitOf(comparison, line, variant))
                ),
        ];

    private static string Cell(VariantUnit? unit, string name) =>
        unit is null || unit.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            ? VariantNames.Look(unit)
            : $"{unit.Name}: {VariantNames.Look(unit)}";

    private static string Change(VariantUnit? first, VariantUnit? second)
    {
        if (first?.Value is not { } from || second?.Value is not { } to || from == 0)
        {
            return "";
        }
        var ratio = to / from;
        return ratio is > 0 and (< 0.2 or > 5)
            ? string.Create(CultureInfo.InvariantCulture, $"x {ratio:G3}")
            : string.Create(CultureInfo.InvariantCulture, $"{100 * (ratio - 1):+0;-0} %");
    }

    private static string Confidence(VariantDifference difference, VariantLine line)
    {
        var match = difference.Matching.Units.FirstOrDefault(m => m.First == line.Units[0]);
        return line.Units[0] < 0 || match.Confidence == 0
            ? ""
            : Figures.Probability(match.Confidence);
    }
}

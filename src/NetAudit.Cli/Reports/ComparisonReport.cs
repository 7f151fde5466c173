using NetAudit.Audits.Variants;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Cli.Reports;

/// <summary>How variants differ, what matters first.</summary>
internal static class ComparisonReport
{
    /// <summary>Rows of a table before the rest is summed up.</summary>
    private const int MostRows = 12;

    /// <summary>Readings of two healthy units differ by less in 95 of 100 cases.</summary>
    private const double Telling = 2;

    public static void Write(Screen screen, VariantComparison comparison, bool all)
    {
        for (var i = 0; i < comparison.Variants.Length; i++)
        {
            screen.Line(
                $"{VariantNames.Letter(i)}  {Titles.Of(comparison.Variants[i])}",
                Ink.Heading
            );
        }
        for (var i = 0; i < comparison.Differences.Length; i++)
        {
            screen.Paragraph(Summary(comparison.Differences[i], VariantNames.Letter(i + 1)));
        }
        ComparedParts.Write(screen, comparison);
        for (var i = 0; i < comparison.Differences.Length; i++)
        {
            ComparedConnections.Write(screen, comparison, i, all ? int.MaxValue : MostRows);
        }
        WriteVoltages(screen, comparison, all);
        ComparedGains.Write(screen, comparison);
        ComparedStresses.Write(screen, comparison, all ? int.MaxValue : MostRows);
        foreach (var note in comparison.Notes)
        {
            screen.Line();
            screen.Paragraph(note);
        }
    }

    private static string Summary(VariantDifference difference, string letter)
    {
        var matching = difference.Matching;
        var changed = difference.Changed.Length;
        var doubtful = matching.Units.Count(match => match.Confidence < VariantNames.Sure);
        var names = difference.RenamedUnits.Length;
        return $"{letter} against A: {Figures.Count(matching.Units.Length, "part")} in both, of these {changed} changed"
            + $"{(names == 0 ? "" : $" and {names} called otherwise")}; {difference.Removed.Length} only in A, "
            + $"{difference.Added.Length} only in {letter}."
            + (
                doubtful == 0
                    ? " Every match is sure."
                    : $" {doubtful} {(doubtful == 1 ? "match is" : "matches are")} doubtful."
            );
    }

    private static void WriteVoltages(Screen screen, VariantComparison comparison, bool all)
    {
        var nodes = comparison
            .Differences.SelectMany(d => d.Voltages)
            .GroupBy(voltage => voltage.Match.First)
            .Select(group =>
                (
                    Node: group.Key,
                    First: group.First().First,
                    Most: group.Max(v => Math.Abs(v.Deviation))
                )
            )
            .OrderByDescending(row => row.Most)
            .ToArray();
        var shown = all ? nodes : nodes.Where(row => row.Most >= Telling).Take(MostRows).ToArray();
        if (nodes.Length == 0)
        {
            return;
        }
        screen.Heading("Readings that differ most, with the limits of healthy units");
        if (shown.Length == 0)
        {
            screen.Paragraph("None: no reading could tell the circuits apart.", "  ");
            return;
        }
        var two = comparison.Variants.Length == 2;
        var table = VoltageTable(comparison, two);
        foreach (var (node, first, _) in shown)
        {
            string[] cells = [comparison.Variants[0].Circuit.Nodes[node].Name, Range(first, two)];
            foreach (var difference in comparison.Differences)
            {
                var found = difference.Voltages.FirstOrDefault(v => v.Match.First == node);
                cells = found is null
                    ? [.. cells, "-", ""]
                    : [.. cells, Range(found.Second, two), Figures.Deviation(found.Deviation)];
            }
            table.Add(cells);
        }
        table.Write(screen, "  ");
        var rest = nodes.Length - shown.Length;
        screen.Paragraph(
            "Volts DC against chassis; sigma: the difference in standard deviations of two healthy units."
                + (rest > 0 ? $" {Figures.Count(rest, "more node")} differ less (--all)." : ""),
            "  "
        );
    }

    private static TextTable VoltageTable(VariantComparison comparison, bool two)
    {
        var columns = new List<(string, Side)> { ("at", Side.Left), ("A", Side.Right) };
        for (var i = 0; i < comparison.Differences.Length; i++)
        {
            columns.Add((VariantNames.Letter(i + 1), Side.Right));
            columns.Add((two ? "sigma" : "", Side.Right));
        }
        return new TextTable([.. columns]);
    }

    private static string Range(ExpectedReading reading, bool withLimits) =>
        withLimits
            ? $"{MeterText.Volts(reading.Mean)} ({MeterText.Volts(reading.Low)} to {MeterText.Volts(reading.High)})"
            : MeterText.Volts(reading.Mean);
}

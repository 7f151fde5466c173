using System.Globalization;
using System.Text;
using NetAudit.Audits.Stresses;

namespace NetAudit.Audits.Variants;

/// <summary>A comparison as CSV: <c>what,name,unit</c> and a column for each variant.</summary>
public static class ComparisonCsv
{
    /// <summary>
    /// Lines <c>value</c> and <c>type</c> of every part that differs somewhere, <c>called</c> where its name does, <c>dc</c> for each
    /// node of the first variant, what its
    /// parts endure (<c>plate power</c>, <c>limit of plate power</c>, ...), <c>gain</c> for its stages, <c>response</c> at the output. A cell is
    /// empty where a variant has no such thing.
    /// </summary>
    /// <param name="comparison">The comparison.</param>
    /// <param name="files">File of each variant, in order.</param>
    public static string ToText(VariantComparison comparison, IReadOnlyList<string> files)
    {
        var text = new StringBuilder();
        Line(text, ["what", "name", "unit", .. files]);
        var variants = Enumerable.Range(0, comparison.Variants.Length).ToArray();
        foreach (var line in ComparisonTable.Parts(comparison))
        {
            var units = variants
                .Select(variant => ComparisonTable.UnitOf(comparison, line, variant))
                .ToArray();
            var one = units.First(unit => unit is not null)!;
            if (one.Value is not null)
            {
                Line(
                    text,
                    ["value", line.Name, one.Unit, .. units.Select(unit => Number(unit?.Value))]
                );
            }
            else
            {
                Line(text, ["type", line.Name, "", .. units.Select(unit => unit?.Type ?? "")]);
            }
            if (units.Any(unit => unit is not null && unit.Name != line.Name))
            {
                Line(text, ["called", line.Name, "", .. units.Select(unit => unit?.Name ?? "")]);
            }
        }
        AddVoltages(text, comparison);
        AddStresses(text, comparison);
        AddSignal(
            text,
            comparison,
            "gain",
            d => d.Gains.Select(gain => (gain.Stage, gain.First, gain.Second))
        );
        AddSignal(
            text,
            comparison,
            "response",
            d =>
                d.Response.Select(level =>
                    (Number(level.Frequency) + " Hz", level.First, level.Second)
                )
        );
        return text.ToString();
    }

    private static void AddVoltages(StringBuilder text, VariantComparison comparison)
    {
        var nodes = comparison.Differences.SelectMany(d => d.Voltages.Select(v => v.Match.First));
        foreach (var node in nodes.Distinct().Order())
        {
            var found = comparison
                .Differences.Select(d => d.Voltages.FirstOrDefault(v => v.Match.First == node))
                .ToArray();
            var first = found.First(voltage => voltage is not null)!.First.Mean;
            var name = comparison.Variants[0].Circuit.Nodes[node].Name;
            Line(
                text,
                ["dc", name, "V", Number(first), .. found.Select(v => Number(v?.Second.Mean))]
            );
        }
    }

    private static void AddStresses(StringBuilder text, VariantComparison comparison)
    {
        foreach (var row in ComparisonTable.Stresses(comparison))
        {
            var what = row.Kind.Describe();
            var name = row.Unit.Name;
            var levels = row.Levels;
            Line(
                text,
                [what, name, row.Kind.Unit(), .. levels.Select(level => Number(level?.Value))]
            );
            if (levels.Any(level => level?.Limit is not null))
            {
                Line(
                    text,
                    [
                        $"limit of {what}",
                        name,
                        row.Kind.Unit(),
                        .. levels.Select(level => Number(level?.Limit)),
                    ]
                );
            }
        }
    }

    private static void AddSignal(
        StringBuilder text,
        VariantComparison comparison,
        string what,
        Func<VariantDifference, IEnumerable<(string Name, double First, double Second)>> rows
    )
    {
        var columns = comparison.Differences.Select(d => rows(d).ToArray()).ToArray();
        foreach (var row in columns.SelectMany(column => column).DistinctBy(row => row.Name))
        {
            var others = columns.Select(column =>
                column
                    .Where(other => other.Name == row.Name)
                    .Select(other => Number(other.Second))
                    .FirstOrDefault("")
            );
            Line(text, [what, row.Name, "V/V", Number(row.First), .. others]);
        }
    }

    private static string Number(double? value) =>
        value is { } number ? number.ToString("G7", CultureInfo.InvariantCulture) : "";

    private static void Line(StringBuilder text, string[] cells) =>
        text.AppendJoin(',', cells.Select(Quoted)).Append('\n');

    private static string Quoted(string cell) =>
        cell.AsSpan().IndexOfAny(",\"\n") < 0
            ? cell
            : $"\"{cell.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}

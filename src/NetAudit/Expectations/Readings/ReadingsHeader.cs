using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Expectations;

/// <summary>Which column of a readings file holds what.</summary>
internal sealed class ReadingsHeader
{
    /// <summary>The columns in their usual order.</summary>
    public static ImmutableArray<string> Names { get; } =
    ["at", "kind", "value", "ref", "condition", "note"];

    private static readonly string[] Needed = ["at", "value"];

    private readonly ImmutableArray<string> columns;

    private ReadingsHeader(ImmutableArray<string> columns) => this.columns = columns;

    /// <summary>Columns as the file has them, in lower case.</summary>
    public ImmutableArray<string> Columns => columns;

    /// <summary>The header of a line's fields, or null when no readings can be read under it, which is reported.</summary>
    public static ReadingsHeader? Read(List<Cell> cells, DiagnosticList diagnostics)
    {
        var columns = cells.Select(cell => cell.Text.ToLowerInvariant()).ToImmutableArray();
        var missing = Needed.Where(name => !columns.Contains(name)).ToArray();
        foreach (var name in missing)
        {
            var near = cells.Find(cell =>
                Suggestions.Nearest(cell.Text, [name]) is not null
                && !Names.Contains(cell.Text.ToLowerInvariant())
            );
            diagnostics.Error(
                near.Text is null ? cells[0].Where : near.Where,
                $"the header has no column \"{name}\"",
                near.Text is null
                    ? $"begin the file with the line {string.Join(',', Names)}"
                    : $"did you mean {name}?"
            );
        }
        for (var i = 0; i < columns.Length; i++)
        {
            if (columns[i].Length > 0 && columns.IndexOf(columns[i]) < i)
            {
                diagnostics.Error(
                    cells[i].Where,
                    $"the header has column \"{columns[i]}\" twice",
                    "take one of them out"
                );
            }
            else if (
                columns[i].Length > 0
                && !Names.Contains(columns[i])
                && missing.Length == 0
                && Suggestions.Nearest(columns[i], Names.Where(name => !columns.Contains(name)))
                    is { } meant
            )
            {
                // Other columns (expected values, say) are the user's own.
                diagnostics.Add(
                    Severity.Warning,
                    cells[i].Where,
                    $"column \"{columns[i]}\" is not used",
                    $"did you mean {meant}?"
                );
            }
        }
        return missing.Length == 0 ? new ReadingsHeader(columns) : null;
    }

    /// <summary>The field of a column; blank at the line's start when the line or the file has none.</summary>
    public Cell Of(List<Cell> line, string column)
    {
        var index = columns.IndexOf(column);
        return index >= 0 && index < line.Count
            ? line[index]
            : new Cell("", line[0].Where with { Length = 1 });
    }
}

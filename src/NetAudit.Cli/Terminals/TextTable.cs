namespace NetAudit.Cli.Terminals;

/// <summary>
/// A table of text in columns, without rules, so that it reads the same on a terminal, in a pipe and in a note. The first column takes
/// what width is left and is wrapped when that is too little.
/// </summary>
internal sealed class TextTable(params (string Header, Side Side)[] columns)
{
    private const string Gap = "  ";
    private const int LeastFirst = 12;

    private readonly List<string[]> _rows = [];

    /// <summary>Adds a row: one cell a column, in order.</summary>
    public void Add(params string[] cells) => _rows.Add(cells);

    /// <summary>Writes the header and the rows.</summary>
    public void Write(Screen screen, string indent = "")
    {
        var widths = columns
            .Select(
                (column, c) => _rows.Select(row => row[c].Length).Append(column.Header.Length).Max()
            )
            .ToArray();
        var others = widths.Skip(1).Sum() + Gap.Length * (columns.Length - 1) + indent.Length;
        widths[0] = Math.Min(widths[0], Math.Max(LeastFirst, screen.Width - others));
        WriteRow(screen, indent, widths, [.. columns.Select(column => column.Header)]);
        foreach (var row in _rows)
        {
            WriteRow(screen, indent, widths, row);
        }
    }

    private void WriteRow(Screen screen, string indent, int[] widths, string[] row)
    {
        var first = Wrapping.Lines(row[0], widths[0]).ToArray();
        var rest = row.Skip(1)
            .Select((cell, c) => Gap + Padded(cell, widths[c + 1], columns[c + 1].Side));
        // The figures stand on the last line of a wrapped name, where the eye arrives.
        foreach (var line in first[..^1])
        {
            screen.Line(indent + line);
        }
        screen.Line(
            (indent + Padded(first[^1], widths[0], columns[0].Side) + string.Concat(rest)).TrimEnd()
        );
    }

    private static string Padded(string cell, int width, Side side) =>
        side == Side.Right ? cell.PadLeft(width) : cell.PadRight(width);
}

/// <summary>The side of a column that its cells stand at.</summary>
internal enum Side
{
    /// <summary>Words.</summary>
    Left,

    /// <summary>Figures.</summary>
    Right,
}

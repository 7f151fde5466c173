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

    /// <summary>Writes the header and the rows; a column that is empty throughout is left out, a table of none is nothing.</summary>
    public void Write(Screen screen, string indent = "")
    {
        int[] shown =
        [
            .. Enumerable
                .Range(0, columns.Length)
                .Where(c => _rows.Exists(row => row[c].Length > 0)),
        ];
        if (shown.Length == 0)
        {
            return;
        }
        var widths = columns
            .Select(
                (column, c) => _rows.Select(row => row[c].Length).Append(column.Header.Length).Max()
            )
            .ToArray();
        var others = shown.Skip(1).Sum(c => widths[c] + Gap.Length) + indent.Length;
        widths[0] = Math.Min(widths[0], Math.Max(LeastFirst, screen.Width - others));
        foreach (var row in _rows.Prepend([.. columns.Select(column => column.Header)]))
        {
            WriteRow(screen, indent, [.. shown.Select(c => (row[c], widths[c], columns[c].Side))]);
        }
    }

    private static void WriteRow(
        Screen screen,
        string indent,
        (string Text, int Width, Side Side)[] cells
    )
    {
        var first = Wrapping.Lines(cells[0].Text, cells[0].Width).ToArray();
        // The figures stand on the last line of a wrapped name, where the eye arrives.
        foreach (var line in first[..^1])
        {
            screen.Line(indent + line);
        }
        cells[0].Text = first[^1];
        screen.Line(
            (
                indent + string.Join(Gap, cells.Select(c => Padded(c.Text, c.Width, c.Side)))
            ).TrimEnd()
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

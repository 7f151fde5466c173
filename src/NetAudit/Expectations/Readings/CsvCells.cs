using System.Text;
using CsvHelper;
using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>Reads comma, semicolon or tab separated text into fields that know their place.</summary>
internal sealed class CsvCells : IDisposable
{
    private readonly CsvReader csv;
    private readonly string text;
    private readonly string file;
    private readonly SourceLines lines;
    private int position;

    public CsvCells(string text, string file, SourceLines lines)
    {
        this.text = text;
        this.file = file;
        this.lines = lines;
        Separator = SeparatorOf(text);
        csv = CsvReader.FromText(
            text,
            new CsvReaderOptions
            {
                Separator = Separator,
                HasHeader = false,
                AllowLineBreaksInQuotes = true,
            }
        );
    }

    public char Separator { get; }

    /// <summary>The next line's fields, or null at the end.</summary>
    public List<Cell>? Next(DiagnosticList diagnostics)
    {
        if (!csv.Read())
        {
            return null;
        }
        var raw = Encoding.UTF8.GetString(csv.RawRecord);
        var start = Math.Max(position, text.IndexOf(raw, position, StringComparison.Ordinal));
        position = Math.Min(text.Length, start + raw.Length);
        var cells = new List<Cell>(csv.FieldCount);
        var at = 0;
        for (var i = 0; i < csv.FieldCount; i++)
        {
            var end = FieldEnd(raw, at);
            var field = csv.GetString(i).Trim();
            // The caret goes under the text itself, past an opening quote or blanks.
            var lead = raw.AsSpan(at, end - at).IndexOfAnyExcept(' ', '\t', '"');
            var place = Math.Min(text.Length, start + at + Math.Max(0, lead));
            cells.Add(new Cell(field, lines.SpanAt(file, place, field.Length)));
            at = Math.Min(end + 1, raw.Length);
        }
        if (raw.Count(c => c == '"') % 2 != 0)
        {
            diagnostics.Error(
                lines.SpanAt(file, start, 1),
                "a quote in this line is not closed",
                "close it, or write a quote inside a field twice"
            );
            return [];
        }
        return cells;
    }

    public void Dispose() => csv.Dispose();

    // What a spreadsheet used shows in the header line.
    private static char SeparatorOf(string text)
    {
        var header = text.AsSpan().TrimStart("\uFEFF\r\n ");
        var end = header.IndexOfAny('\r', '\n');
        header = end < 0 ? header : header[..end];
        if (header.Contains(','))
        {
            return ',';
        }
        return header.Contains(';') ? ';'
            : header.Contains('\t') ? '\t'
            : ',';
    }

    private int FieldEnd(string raw, int from)
    {
        var quoted = false;
        for (var i = from; i < raw.Length; i++)
        {
            if (raw[i] == '"')
            {
                quoted = !quoted;
            }
            else if (!quoted && (raw[i] == Separator || raw[i] is '\r' or '\n'))
            {
                return i;
            }
        }
        return raw.Length;
    }
}

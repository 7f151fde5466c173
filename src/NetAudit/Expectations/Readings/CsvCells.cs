using System.Text;
using CsvHelper;
using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>Reads comma, semicolon or tab separated text into fields that know their place.</summary>
internal sealed class CsvCells : IDisposable
{
    private readonly CsvReader csv;
    private readonly string file;

    public CsvCells(string text, string file)
    {
        this.file = file;
        Separator = SeparatorOf(text);
        csv = CsvReader.FromText(
            text,
            new CsvReaderOptions
            {
                Separator = Separator,
                HasHeader = false,
                TrackLineNumbers = true,
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
        var cells = new List<Cell>(csv.FieldCount);
        var at = 0;
        for (var i = 0; i < csv.FieldCount; i++)
        {
            var end = FieldEnd(raw, at);
            var text = csv.GetString(i).Trim();
            // The caret goes under the text itself, past an opening quote or blanks.
            var lead = raw.AsSpan(at, end - at).IndexOfAnyExcept(' ', '\t', '"');
            var column = at + Math.Max(0, lead) + 1;
            cells.Add(
                new Cell(
                    text,
                    new SourceSpan(file, (int)csv.LineNumber, column, Math.Max(1, text.Length))
                )
            );
            at = Math.Min(end + 1, raw.Length);
        }
        if (raw.Count(c => c == '"') % 2 != 0)
        {
            diagnostics.Error(
                new SourceSpan(file, (int)csv.LineNumber, 1),
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

using System.Text;
using System.Text.Encodings.Web;
using System.Text.Unicode;

namespace NetAudit.Jobs.Reports;

/// <summary>
/// Writes one HTML file. Text only gets in encoded, each piece isolated from the direction of the text around it; tags are constants of
/// the program.
/// </summary>
internal sealed class HtmlPage
{
    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);

    private readonly StringBuilder _html = new();

    /// <summary>Begins the file.</summary>
    public HtmlPage(string title, string style) =>
        _html
            .Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n")
            // Nothing may be loaded or run, whatever a name holds.
            .Append(
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
            )
            .Append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n")
            .Append($"<title>{Encode(title)}</title>\n<style>\n{style}</style>\n</head>\n<body>\n");

    /// <summary>Writes an element around a text.</summary>
    public HtmlPage Text(string tag, string text, string? style = null)
    {
        Open(tag, style);
        _html.Append($"<bdi>{Encode(text)}</bdi></{tag}>\n");
        return this;
    }

    /// <summary>Writes an element around what <paramref name="inside"/> writes.</summary>
    public HtmlPage Around(string tag, Action inside, string? style = null)
    {
        Open(tag, style).Append('\n');
        inside();
        _html.Append($"</{tag}>\n");
        return this;
    }

    /// <summary>Writes a paragraph for each text that is not empty.</summary>
    public HtmlPage List(string tag, IEnumerable<string> texts)
    {
        var items = texts.Where(text => text.Length > 0).ToArray();
        return items.Length == 0
            ? this
            : Around(
                tag,
                () =>
                {
                    foreach (var item in items)
                    {
                        Text("li", item);
                    }
                }
            );
    }

    /// <summary>Writes a list of terms and what they are; empty ones are left out.</summary>
    public HtmlPage Terms(params ReadOnlySpan<(string Term, string Text)> terms)
    {
        Open("dl", null).Append('\n');
        foreach (var (term, text) in terms)
        {
            if (text.Length > 0)
            {
                Text("dt", term).Text("dd", text, "words");
            }
        }
        _html.Append("</dl>\n");
        return this;
    }

    /// <summary>Writes a table; a header that begins with <c>#</c> stands over figures.</summary>
    public HtmlPage Table(
        string[] headers,
        IEnumerable<(string? Style, string[] Cells)> rows,
        string[]? total = null
    )
    {
        string? Side(int column) => headers[column].StartsWith('#') ? "n" : null;
        _html.Append("<table>\n<thead><tr>");
        for (var i = 0; i < headers.Length; i++)
        {
            Text("th", headers[i].TrimStart('#'), Side(i));
        }
        _html.Append("</tr></thead>\n<tbody>\n");
        foreach (var (style, cells) in rows)
        {
            Row(cells, "td", Side, style);
        }
        _html.Append("</tbody>\n");
        if (total is not null)
        {
            _html.Append("<tfoot>\n");
            Row(total, "td", Side, null);
            _html.Append("</tfoot>\n");
        }
        _html.Append("</table>\n");
        return this;
    }

    /// <summary>The file.</summary>
    public string End() => _html.Append("</body>\n</html>\n").ToString();

    private void Row(string[] cells, string tag, Func<int, string?> side, string? style)
    {
        Open("tr", style);
        for (var i = 0; i < cells.Length; i++)
        {
            Text(tag, cells[i], side(i));
        }
        _html.Append("</tr>\n");
    }

    private StringBuilder Open(string tag, string? style) =>
        style is null ? _html.Append($"<{tag}>") : _html.Append($"<{tag} class=\"{style}\">");

    // Control characters other than line ends say nothing and may do harm.
    private static string Encode(string text) =>
        Encoder
            .Encode(string.Concat(text.Where(c => !char.IsControl(c) || c is '\n' or '\t')))
            .Replace("&#xA;", "\n", StringComparison.Ordinal);
}

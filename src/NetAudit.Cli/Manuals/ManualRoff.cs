using System.Globalization;
using System.Text;

namespace NetAudit.Cli.Manuals;

/// <summary>A manual page for <c>man</c>: roff with the man macros, in ASCII.</summary>
internal static class ManualRoff
{
    /// <summary>Writes the page.</summary>
    /// <param name="output">Where to.</param>
    /// <param name="name">The page's name, as in its first section.</param>
    /// <param name="version">The program's version.</param>
    /// <param name="page">The page.</param>
    public static void Write(
        TextWriter output,
        string name,
        string version,
        IEnumerable<ManualBlock> page
    )
    {
        // Without a date, so that the same program always writes the same page. Ragged, for words are not to be stretched on a terminal.
        output.Write(
            $".TH {Quoted(name.ToUpperInvariant())} 1 \"\" {Quoted($"NetAudit {version}")}\n"
        );
        output.Write(".ad l\n.nh\n");
        ManualBlock? before = null;
        foreach (var block in page)
        {
            if (before is ManualLine != block is ManualLine)
            {
                output.Write(block is ManualLine ? $"{Apart(before)}.nf\n" : ".fi\n");
            }
            output.Write(
                block switch
                {
                    ManualSection section => $".SH {Quoted(section.Title)}\n",
                    ManualPart part => $".SS {Quoted(part.Title)}\n",
                    ManualParagraph paragraph => $"{Apart(before)}{Line(paragraph.Text)}\n",
                    ManualEntry entry =>
                        $".TP\n\\fB{Line(entry.Term)}\\fR\n{Line(entry.Meaning)}\n",
                    ManualLine line => $"{Line(line.Text)}\n",
                    _ => throw new ArgumentException(
                        $"{block} is no piece of a page",
                        nameof(page)
                    ),
                }
            );
            before = block;
        }
        if (before is ManualLine)
        {
            output.Write(".fi\n");
        }
    }

    // A heading is followed by space enough.
    private static string Apart(ManualBlock? before) =>
        before is ManualSection or ManualPart ? "" : ".PP\n";

    private static string Quoted(string text) =>
        $"\"{Escaped(text).Replace("\"", "\\(dq", StringComparison.Ordinal)}\"";

    // A dot or an apostrophe at the start of a line would be taken for a request.
    private static string Line(string text) =>
        text.Length > 0 && text[0] is '.' or '\'' ? "\\&" + Escaped(text) : Escaped(text);

    private static string Escaped(string text)
    {
        var escaped = new StringBuilder();
        foreach (var rune in text.EnumerateRunes())
        {
            escaped.Append(
                rune.Value switch
                {
                    '\\' => "\\(rs",
                    '-' => "\\-",
                    '\'' => "\\(aq",
                    '`' => "\\(ga",
                    '^' => "\\(ha",
                    '~' => "\\(ti",
                    '…' => "...",
                    _ when rune.IsAscii => rune.ToString(),
                    _ => string.Create(CultureInfo.InvariantCulture, $"\\[u{rune.Value:X4}]"),
                }
            );
        }
        return escaped.ToString();
    }
}

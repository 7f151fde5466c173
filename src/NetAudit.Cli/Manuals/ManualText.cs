using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Manuals;

/// <summary>A manual page to be read at once.</summary>
internal static class ManualText
{
    private const string Indent = "    ";

    /// <summary>Writes the page.</summary>
    public static void Write(Screen screen, IEnumerable<ManualBlock> page)
    {
        ManualBlock? before = null;
        foreach (var block in page)
        {
            switch (block)
            {
                case ManualSection section:
                    if (before is not null)
                    {
                        screen.Line();
                    }
                    screen.Line(section.Title, Ink.Heading);
                    break;
                case ManualPart part:
                    screen.Line();
                    screen.Line("  " + part.Title, Ink.Heading);
                    break;
                case ManualParagraph paragraph:
                    if (before is not (ManualSection or ManualPart))
                    {
                        screen.Line();
                    }
                    screen.Paragraph(paragraph.Text, Indent);
                    break;
                case ManualEntry entry:
                    screen.Line(Indent + entry.Term);
                    screen.Paragraph(entry.Meaning, Indent + Indent);
                    break;
                case ManualLine line:
                    screen.Line(Indent + line.Text);
                    break;
            }
            before = block;
        }
    }
}

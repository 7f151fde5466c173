using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Netlists;

/// <summary>One parsed file: cards in their blocks. Includes are not followed yet. Immutable and thread-safe, so it may be kept.</summary>
/// <param name="Title">First line, or empty for an included file.</param>
/// <param name="Items">What is in it.</param>
/// <param name="Diagnostics">What is wrong with its lines and blocks.</param>
internal sealed record NetlistFile(
    string Title,
    NetlistItem[] Items,
    ImmutableArray<Diagnostic> Diagnostics
)
{
    /// <summary>Its name in diagnostics.</summary>
    public string Name { get; init; } = "";

    /// <summary>Parses a file.</summary>
    /// <param name="file">File name for diagnostics.</param>
    /// <param name="folder">Folder for its includes, or null.</param>
    /// <param name="source">The file's text.</param>
    /// <param name="hasTitle">True when the first line is the title.</param>
    public static NetlistFile Parse(string file, string? folder, string source, bool hasTitle)
    {
        if (TooLarge(file, source) is { } tooLarge)
        {
            return new NetlistFile("", [], [tooLarge]);
        }
        var text = LogicalTextReader.Read(file, folder, source, hasTitle, out var remarks);
        var diagnostics = new DiagnosticBag();
        foreach (var (offset, severity, message, mend) in remarks)
        {
            diagnostics.Add(severity, text, offset, offset + 1, message, mend);
        }
        var cards = CardReader.Read(text);
        var items = new BlockReader(cards, diagnostics).Read();
        var title = hasTitle ? FirstLine(source) : "";
        return new NetlistFile(title, items, diagnostics.ToImmutable()) { Name = file };
    }

    private static string FirstLine(string source)
    {
        var end = source.AsSpan().IndexOfAny('\r', '\n');
        return (end < 0 ? source : source[..end]).Trim();
    }

    private static Diagnostic? TooLarge(string file, string source)
    {
        if (source.Length > LogicalTextReader.LongestFile)
        {
            return new Diagnostic(
                Severity.Error,
                new SourceSpan(file, 1, 1),
                $"the file has {source.Length} characters; a netlist may have {LogicalTextReader.LongestFile}"
            );
        }
        var lines = 1 + source.AsSpan().Count('\n');
        return lines > LogicalTextReader.MostLines
            ? new Diagnostic(
                Severity.Error,
                new SourceSpan(file, 1, 1),
                $"the file has {lines} lines; a netlist may have {LogicalTextReader.MostLines}"
            )
            : null;
    }
}

namespace NetAudit.Benchmarks.Figures;

/// <summary>docs/figures.md: every verb replaces its own section and leaves the others.</summary>
internal static class FiguresFile
{
    private const string Heading =
        "# Figures\n\nWritten by `dotnet run -c Release --project tests/NetAudit.Benchmarks -- VERB`; each section names its own verb. What stands between two marks is the program's, what stands outside is written by hand.\n";

    /// <summary>Replaces or adds the section of that name.</summary>
    public static void Write(string path, string section, string markdown)
    {
        var (begin, end) = ($"<!-- begin {section} -->", $"<!-- end {section} -->");
        var text = File.Exists(path) ? File.ReadAllText(path) : Heading;
        var block = $"{begin}\n{markdown.Trim()}\n{end}";
        var (from, to) = (
            text.IndexOf(begin, StringComparison.Ordinal),
            text.IndexOf(end, StringComparison.Ordinal)
        );
        text =
            from >= 0 && to > from
                ? text[..from] + block + text[(to + end.Length)..]
                : $"{text.TrimEnd()}\n\n{block}\n";
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
        File.WriteAllText(path, text);
    }
}

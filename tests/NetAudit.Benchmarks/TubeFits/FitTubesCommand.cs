namespace NetAudit.Benchmarks.TubeFits;

/// <summary>
/// <c>fit-tubes</c>: fits every tube to the published figures and writes <c>src/NetAudit/Data/tubes.lib</c> and the tables of
/// <c>docs/tubes.md</c>. The same figures always give the same text.
/// </summary>
internal static class FitTubesCommand
{
    private const string Begin = "<!-- tables written by fit-tubes: begin -->";
    private const string End = "<!-- tables written by fit-tubes: end -->";

    /// <summary>Runs in the folder of the solution or below it; 2 when there is none.</summary>
    public static int Run()
    {
        var root = new DirectoryInfo(Environment.CurrentDirectory);
        while (root is not null && !File.Exists(Path.Combine(root.FullName, "NetAudit.sln")))
        {
            root = root.Parent;
        }
        if (root is null)
        {
            Console.Error.WriteLine("fit-tubes: run it in the folder that holds NetAudit.sln");
            return 2;
        }
        var data = ReferenceData.Load();
        var library = TubeLibrary.Fit(data);
        File.WriteAllText(
            Path.Combine(root.FullName, "src/NetAudit/Data/tubes.lib"),
            library.Text(data)
        );
        var page = Path.Combine(root.FullName, "docs/tubes.md");
        var tables = FitReport.Markdown(data, library);
        File.WriteAllText(page, WithTables(File.ReadAllText(page), tables));
        Console.Write(tables);
        return 0;
    }

    /// <summary>The page with the tables between its two marks replaced.</summary>
    public static string WithTables(string page, string tables)
    {
        var begin = page.IndexOf(Begin, StringComparison.Ordinal) + Begin.Length;
        var end = page.IndexOf(End, StringComparison.Ordinal);
        return page[..begin] + "\n\n" + tables + "\n" + page[end..];
    }
}

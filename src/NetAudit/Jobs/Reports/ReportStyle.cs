namespace NetAudit.Jobs.Reports;

/// <summary>The style sheet of reports, which each carries with it.</summary>
internal static class ReportStyle
{
    public static string Text { get; } = Read();

    private static string Read()
    {
        using var stream = typeof(ReportStyle).Assembly.GetManifestResourceStream(
            "Data/report.css"
        )!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}

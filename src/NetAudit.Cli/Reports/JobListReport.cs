using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Cli.Terminals;
using NetAudit.Jobs;

namespace NetAudit.Cli.Reports;

/// <summary>Jobs as a table.</summary>
internal static class JobListReport
{
    public static void Write(Screen screen, ImmutableArray<JobSummary> jobs)
    {
        if (jobs.IsEmpty)
        {
            screen.Line("No jobs.");
            return;
        }
        var table = new TextTable(
            ("model", Side.Left),
            ("job", Side.Right),
            ("state", Side.Left),
            ("complaint", Side.Left),
            ("readings", Side.Right),
            ("changed", Side.Left)
        );
        foreach (var job in jobs)
        {
            table.Add(
                OneLine($"{(job.Model.Length > 0 ? job.Model : "unknown")} {job.Serial}".Trim()),
                job.Number.ToString(CultureInfo.InvariantCulture),
                job.State.Describe(),
                OneLine(job.Complaint),
                job.Readings.ToString(CultureInfo.InvariantCulture),
                job.Changed.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture)
            );
        }
        table.Write(screen);
    }

    // Names from elsewhere may hold anything: nothing but text reaches the terminal.
    private static string OneLine(string text) =>
        string.Concat(text.Take(60).Select(c => char.IsControl(c) ? ' ' : c));
}

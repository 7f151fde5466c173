using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Jobs.Reports;

namespace NetAudit.Jobs;

/// <summary>The report for the owner of the unit: one HTML file that prints well and loads nothing.</summary>
public static class OwnerReport
{
    private static readonly string[] Care =
    [
        "Do not open the unit. It holds a voltage that can kill, for some time also after the plug is out.",
        "If a fuse blows, let it be looked at. Never fit another value and never bridge it.",
        "Run the unit only into the loudspeaker it is meant for, never without one.",
    ];

    /// <summary>The file's text.</summary>
    /// <param name="job">The job.</param>
    /// <param name="shop">The shop.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static string ToHtml(
        Job job,
        ShopDetails shop,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(shop);
        var view = new JobView(job, cancellationToken);
        var unit = $"{job[JobField.Model]} {job[JobField.Variant]}".Trim();
        var html = new HtmlPage($"Repair report {job.Number}", ReportStyle.Text);
        ReportHead.Write(html, job, shop);
        html.Text("h1", unit.Length > 0 ? $"Repair report: {unit}" : "Repair report");
        html.Terms(
            ("Owner", job[JobField.Owner]),
            ("Serial number", job[JobField.Serial]),
            ("Taken in", Date(job.Opened)),
            ("State", job.State.Describe())
        );
        Said(html, job);
        Found(html, view);
        Done(html, job);
        Measured(html, view);
        if (job[JobField.Advice].Length > 0)
        {
            html.Text("h2", "What we advise").Text("p", job[JobField.Advice], "words");
        }
        PriceTable.Write(html, job, shop);
        html.Around("section", () => html.Text("h2", "For your safety").List("ul", Care), "care");
        return html.End();
    }

    private static void Said(HtmlPage html, Job job)
    {
        var (words, complaint) = (job[JobField.Words], job[JobField.Complaint]);
        if (words.Length + complaint.Length == 0)
        {
            return;
        }
        html.Text("h2", "What you told us");
        if (words.Length > 0)
        {
            html.Text("blockquote", words);
        }
        if (complaint.Length > 0)
        {
            html.Text("p", $"In short: {complaint}.");
        }
    }

    private static void Found(HtmlPage html, JobView view)
    {
        html.Text("h2", "What we found");
        var cause = PlainWords.Cause(view.Job, view.Amplifier);
        if (view.Job[JobField.Found].Length > 0)
        {
            html.Text("p", view.Job[JobField.Found], "words");
        }
        if (cause is not null)
        {
            html.Text("p", cause);
        }
        else if (view.Job[JobField.Found].Length == 0)
        {
            html.Text("p", "Not written down yet.");
        }
    }

    private static void Done(HtmlPage html, Job job)
    {
        html.Text("h2", "What we did");
        if (job.Steps.IsEmpty)
        {
            html.Text("p", "Nothing was changed in the unit.");
        }
        html.List("ul", job.Steps.Select(Step));
    }

    private static string Step(WorkStep step)
    {
        var what = $"{PlainWords.Done(step.Kind)} {step.Part}".Trim();
        var text = step.Text.Length > 0 ? $"{what}: {step.Text}" : what;
        return step.PartUsed.Length > 0 ? $"{text} (part used: {step.PartUsed})" : text;
    }

    private static void Measured(HtmlPage html, JobView view)
    {
        var before = view.Readings(ReadingPhase.Before);
        var after = view.Readings(ReadingPhase.After);
        if (PlainWords.Outcome(before, after) is not { } outcome)
        {
            return;
        }
        html.Text("h2", "Measured before and after").Text("p", outcome);
        var rows = BeforeAndAfter.Rows(view.Amplifier!, before, after).ToArray();
        if (rows.Length > 0)
        {
            html.Table(["Where", "#Before", "#After", "#A sound unit"], rows);
        }
    }

    private static string Date(DateTimeOffset time) =>
        time.ToString("d MMMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>The rows of the table: places that were off before, with what they read now.</summary>
    private static class BeforeAndAfter
    {
        private const int MostRows = 12;

        public static IEnumerable<(string?, string[])> Rows(
            Amplifier amplifier,
            IEnumerable<JudgedReading> before,
            IEnumerable<JudgedReading> after
        )
        {
            var later = after
                .Where(reading => reading.IsWithin is not null)
                .ToLookup(reading => reading.Place);
            return before
                .Where(reading => reading.IsWithin is not null)
                .GroupBy(reading => reading.Place)
                .Select(place => place.Last())
                .Where(reading => reading.IsWithin == false)
                .Take(MostRows)
                .Select(reading =>
                    (
                        (string?)null,
                        new[]
                        {
                            Place(amplifier, reading),
                            Shown(reading, reading.Reading!.Value),
                            later[reading.Place].LastOrDefault() is { } now
                                ? Shown(now, now.Reading!.Value)
                                : "not measured",
                            $"{Shown(reading, reading.Expected!.Low)} to {Shown(reading, reading.Expected.High)}",
                        }
                    )
                );
        }

        private static string Place(Amplifier amplifier, JudgedReading reading) =>
            amplifier.StageOfNode(reading.Reading!.Node) is { } stage
                ? $"{stage.Name} ({reading.Kept.At}{Kind(reading.Reading)})"
                : reading.Kept.At + Kind(reading.Reading);

        private static string Kind(Reading reading) =>
            reading.Kind switch
            {
                ReadingKind.Ac => ", test signal",
                ReadingKind.Ohms => ", resistance",
                _ when reading.Condition != Condition.Normal => $", {reading.Condition}",
                _ => "",
            };

        private static string Shown(JudgedReading reading, double value) =>
            double.IsInfinity(value) ? "over range" : reading.Show(value);
    }
}

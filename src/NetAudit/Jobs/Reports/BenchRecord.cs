using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Jobs.Reports;

namespace NetAudit.Jobs;

/// <summary>The bench's full record of a job: everything that was kept, and what the readings say. One HTML file.</summary>
public static class BenchRecord
{
    private const int MostSuspects = 5;

    /// <summary>The file's text.</summary>
    /// <param name="job">The job.</param>
    /// <param name="shop">The shop.</param>
    /// <param name="experience">What the shop confirmed in other units of the model, or null.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static string ToHtml(
        Job job,
        ShopDetails shop,
        ShopExperience? experience = null,
        CancellationToken cancellationToken = default
    )
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(shop);
        var view = new JobView(job, cancellationToken);
        var html = new HtmlPage($"Bench record {job.Number}", ReportStyle.Text);
        ReportHead.Write(html, job, shop);
        html.Text("h1", $"Bench record of job {job.Number}");
        Intake(html, view);
        Checks(html, view);
        Readings(html, view, ReadingPhase.Before, "Readings before the work");
        Answer(html, view.Answer(experience, cancellationToken));
        Steps(html, job);
        Readings(html, view, ReadingPhase.After, "Readings after the work");
        PriceTable.Write(html, job, shop);
        Cautions(html, view);
        return html.End();
    }

    private static void Intake(HtmlPage html, JobView view)
    {
        var job = view.Job;
        html.Text("h2", "Intake");
        html.Terms(
            ("Model", $"{job[JobField.Model]} {job[JobField.Variant]}".Trim()),
            ("Serial number", job[JobField.Serial]),
            ("Age", job[JobField.Age]),
            ("Mains", job[JobField.Mains]),
            ("Owner", job[JobField.Owner]),
            ("Contact", job[JobField.Contact]),
            ("Owner's words", job[JobField.Words]),
            ("Complaint", job[JobField.Complaint]),
            ("State", job.State.Describe()),
            ("Taken in", Time(job.Opened)),
            ("Last change", Time(job.Changed)),
            ("Circuit", Circuit(view)),
            ("Confirmed cause", $"{job[JobField.CausePart]} {job[JobField.CauseMode]}".Trim()),
            ("Found", job[JobField.Found]),
            ("Advice", job[JobField.Advice]),
            ("Notes", job[JobField.Notes])
        );
    }

    private static string Circuit(JobView view) =>
        view.Job.Circuit is { } source
            ? $"{(view.Amplifier is { } amplifier ? Titles.Of(amplifier) : "cannot be read")} ({source.Name}, {source.Key[..12]})"
            : "none chosen";

    private static void Checks(HtmlPage html, JobView view)
    {
        if (view.Job.Checks.IsEmpty)
        {
            return;
        }
        html.Text("h2", "First checks");
        html.Table(
            ["Check", "Answer", "Note", "Means"],
            view.Job.Checks.Select(answer =>
            {
                var check = view.Checks.FirstOrDefault(c => c.Key == answer.Check);
                return (
                    (string?)null,
                    new[]
                    {
                        check?.Question ?? answer.Check,
                        answer.Answer,
                        answer.Note,
                        check is null ? "" : FirstChecks.Warning(check, answer.Answer) ?? "",
                    }
                );
            })
        );
    }

    private static void Readings(HtmlPage html, JobView view, ReadingPhase phase, string title)
    {
        var all = view.Job.Readings.Where(reading => reading.Phase == phase).ToArray();
        if (all.Length == 0)
        {
            return;
        }
        var judged = view.Readings(phase).ToDictionary(reading => reading.Kept.Number);
        html.Text("h2", title);
        html.Table(
            ["#No.", "At", "Kind", "#Measured", "#Expected", "#Limits", "Stands", "Taken"],
            all.Select(kept =>
            {
                var reading = judged.GetValueOrDefault(kept.Number);
                var expected = reading?.IsWithin is null ? null : reading.Expected;
                return (
                    kept.TakenBack ? "struck" : null,
                    new[]
                    {
                        kept.Number.ToString(CultureInfo.InvariantCulture),
                        kept.Ref.Length > 0 ? $"{kept.At} to {kept.Ref}" : kept.At,
                        $"{kept.Kind} {kept.Condition}".Trim(),
                        kept.Value,
                        expected is null ? "" : reading!.Show(expected.Mean),
                        expected is null
                            ? ""
                            : $"{reading!.Show(expected.Low)} to {reading.Show(expected.High)}",
                        kept.TakenBack ? "taken back" : Stands(reading?.IsWithin),
                        Time(kept.Taken),
                    }
                );
            })
        );
    }

    private static string Stands(bool? within) =>
        within switch
        {
            true => "within",
            false => "outside",
            _ => "",
        };

    private static void Answer(HtmlPage html, DiagnosisResult? result)
    {
        if (result is null)
        {
            return;
        }
        html.Text("h2", "What the readings say");
        html.Text(
            "p",
            result.IsEmpty ? "Nothing that could be weighed." : VerdictWords.Sentence(result)
        );
        html.List(
            "ol",
            result
                .Suspects.Take(MostSuspects)
                .Select(suspect =>
                    string.Join(
                        ' ',
                        SuspectReasons
                            .Sentences(result, suspect)
                            .Concat(EquivalentWords.Sentences(suspect))
                            .Concat(OverloadWords.Sentences(suspect))
                            .Prepend(
                                $"{VerdictWords.Faults(suspect.Faults)} ({Figures.Probability(suspect.Probability)})."
                            )
                    )
                )
        );
        html.List("ul", SlipWords.Sentences(result).Select(sentence => $"Take again: {sentence}"));
        html.List("ul", result.Notes);
    }

    private static void Steps(HtmlPage html, Job job)
    {
        if (job.Steps.IsEmpty)
        {
            return;
        }
        html.Text("h2", "Work done");
        html.Table(
            ["#No.", "What", "Part", "In words", "Part used", "When"],
            job.Steps.Select(step =>
                (
                    (string?)null,
                    new[]
                    {
                        step.Number.ToString(CultureInfo.InvariantCulture),
                        step.Kind.Name(),
                        step.Part,
                        step.Text,
                        step.PartUsed,
                        Time(step.At),
                    }
                )
            )
        );
    }

    private static void Cautions(HtmlPage html, JobView view)
    {
        html.Around(
            "section",
            () =>
            {
                html.Text("h2", "Before a hand goes in");
                html.List(
                    "ul",
                    view.Amplifier is { } amplifier ? Diagnosis.Cautions.Of(amplifier) : []
                );
                html.List(
                    "ul",
                    view.Job.Cautions.Select(caution =>
                        $"Acknowledged {Time(caution.At)}: {caution.Text}"
                    )
                );
            },
            "care"
        );
    }

    private static string Time(DateTimeOffset time) =>
        time.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);
}

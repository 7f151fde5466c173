using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit jobs</c>: the shop's jobs without the bench page.</summary>
internal static class JobsCommand
{
    public static Command Create(StandardStreams streams) =>
        new("jobs", "List, open, export and import jobs; write reports.")
        {
            List(streams),
            New(streams),
            Enter(streams),
            JobFilesCommand.Export(streams),
            JobFilesCommand.Import(streams),
            JobReportCommand.Report(streams),
            JobReportCommand.Shop(streams),
            JobLearningCommand.Create(streams),
        };

    /// <summary>The argument that names a job.</summary>
    public static Argument<long> Number() => new("JOB") { Description = "Number of the job." };

    private static Command List(StandardStreams streams)
    {
        var verb = new Command("list", "List jobs, the one changed last first.");
        var words = new Argument<string[]>("WORDS")
        {
            Description = "Only jobs with all of these words in them.",
        };
        verb.Add(words);
        var input = new JobStoreInput(verb);
        verb.SetAction(parsed =>
        {
            using var store = input.Open(parsed, streams);
            if (store is null)
            {
                return ExitCodes.BadInput;
            }
            var jobs = store.Find(string.Join(' ', parsed.GetValue(words) ?? []));
            if (input.IsJson(parsed))
            {
                streams.Output.Write(JobListJson.ToText(jobs) + "\n");
            }
            else
            {
                JobListReport.Write(Screen.For(streams), jobs);
            }
            return ExitCodes.NothingWrong;
        });
        return verb;
    }

    private static Command New(StandardStreams streams)
    {
        var verb = new Command("new", "Open a job for a circuit; prints its number.");
        var netlist = new Argument<string>("CIRCUIT") { Description = "Netlist file (*.cir)." };
        var complaint = new Option<string>("--complaint")
        {
            Description = $"One of: {string.Join(", ", Complaints.All)}.",
            HelpName = "WORDS",
        };
        complaint.AcceptOnlyFromAmong([.. Complaints.All]);
        var serial = new Option<string>("--serial")
        {
            Description = "Serial number.",
            HelpName = "TEXT",
        };
        verb.Add(netlist);
        verb.Add(complaint);
        verb.Add(serial);
        var input = new JobStoreInput(verb);
        verb.SetAction(parsed =>
        {
            var (source, diagnostics) = CircuitSource.Take(parsed.GetRequiredValue(netlist));
            if (source is null)
            {
                return DiagnosticReport.Refuse(streams, input.IsJson(parsed), diagnostics);
            }
            using var store = input.Open(parsed, streams);
            if (store is null)
            {
                return ExitCodes.BadInput;
            }
            var sheet = source.Read().Amplifier!.Sheet;
            var kept = store.Create(
                new Dictionary<JobField, string>
                {
                    [JobField.Model] = sheet.Title ?? source.Name,
                    [JobField.Variant] = sheet.Revision ?? "",
                    [JobField.Complaint] = parsed.GetValue(complaint) ?? "",
                    [JobField.Serial] = parsed.GetValue(serial) ?? "",
                },
                source
            );
            if (kept.Problem is { } problem)
            {
                return DiagnosticReport.Refuse(streams, input.IsJson(parsed), [problem]);
            }
            streams.Output.Write($"{kept.Number}\n");
            return ExitCodes.NothingWrong;
        });
        return verb;
    }

    private static Command Enter(StandardStreams streams)
    {
        var verb = new Command(
            "enter",
            "Take readings for a job from standard input, one a line; each is on the disk before it is confirmed."
        );
        var number = Number();
        var after = new Option<bool>("--after") { Description = "Readings after the repair." };
        verb.Add(number);
        verb.Add(after);
        var input = new JobStoreInput(verb);
        verb.SetAction(
            async (parsed, cancellation) =>
            {
                using var store = input.Open(parsed, streams);
                if (store is null)
                {
                    return ExitCodes.BadInput;
                }
                var job = parsed.GetValue(number);
                var read = store.Load(job)?.Circuit?.Read(cancellation);
                if (read?.Amplifier is not { } amplifier)
                {
                    return DiagnosticReport.Refuse(
                        streams,
                        input.IsJson(parsed),
                        read is null ? [NoJob(job)] : read.Diagnostics
                    );
                }
                var phase = parsed.GetValue(after) ? ReadingPhase.After : ReadingPhase.Before;
                var refused = false;
                while (await streams.Input.ReadLineAsync(cancellation) is { } line)
                {
                    if (line.Trim().Length > 0)
                    {
                        refused |= !Take(store, job, phase, amplifier, line.Trim(), streams);
                        await streams.Output.FlushAsync(cancellation);
                    }
                }
                return refused ? ExitCodes.BadInput : ExitCodes.NothingWrong;
            }
        );
        return verb;
    }

    /// <summary>What is said when a job or its circuit is missing.</summary>
    public static Diagnostic NoJob(long number) =>
        new(
            Severity.Error,
            null,
            $"there is no job {number}, or it has no circuit",
            "netaudit jobs list shows the jobs"
        );

    private static bool Take(
        JobStore store,
        long job,
        ReadingPhase phase,
        Circuits.Amplifier amplifier,
        string line,
        StandardStreams streams
    )
    {
        var typed = TypedReading.Read(line, amplifier);
        if (typed.HasErrors || typed.Readings is not [var reading])
        {
            DiagnosticReport.Remark(streams, json: false, typed.Diagnostics);
            return false;
        }
        var kept = store.AddReading(job, phase, reading);
        if (kept.Problem is { } problem)
        {
            DiagnosticReport.Remark(streams, json: false, [problem]);
            return false;
        }
        streams.Output.Write($"kept {kept.Number}: {line}\n");
        return true;
    }
}

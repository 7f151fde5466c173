using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Jobs;

namespace NetAudit.Cli.Commands;

/// <summary>The verbs under <c>netaudit jobs</c> that read and write files.</summary>
internal static class JobFilesCommand
{
    public static Command Export(StandardStreams streams)
    {
        var verb = new Command("export", "Write a job, circuit included, as one JSON file.");
        var number = JobsCommand.Number();
        verb.Add(number);
        var output = Output(verb);
        var input = new JobStoreInput(verb);
        verb.SetAction(parsed =>
        {
            using var store = input.Open(parsed, streams);
            if (store is null)
            {
                return ExitCodes.BadInput;
            }
            return store.Load(parsed.GetValue(number)) is { } job
                ? Write(streams, parsed.GetValue(output), JobExport.ToText(job))
                : DiagnosticReport.Refuse(
                    streams,
                    input.IsJson(parsed),
                    [JobsCommand.NoJob(parsed.GetValue(number))]
                );
        });
        return verb;
    }

    public static Command Import(StandardStreams streams)
    {
        var verb = new Command("import", "Take in a job from a JSON file; prints its number here.");
        var file = new Argument<string>("FILE") { Description = "File that export wrote." };
        verb.Add(file);
        var input = new JobStoreInput(verb);
        verb.SetAction(parsed =>
        {
            var path = parsed.GetRequiredValue(file);
            var (bytes, unread) = ReadFile(path);
            if (bytes is null)
            {
                return DiagnosticReport.Refuse(streams, input.IsJson(parsed), unread!);
            }
            var (job, problems) = JobImport.Read(bytes, path);
            if (job is null)
            {
                return DiagnosticReport.Refuse(streams, input.IsJson(parsed), problems);
            }
            using var store = input.Open(parsed, streams);
            if (store is null)
            {
                return ExitCodes.BadInput;
            }
            var kept = store.Import(job);
            if (kept.Problem is { } problem)
            {
                return DiagnosticReport.Refuse(streams, input.IsJson(parsed), [problem]);
            }
            streams.Output.Write($"{kept.Number}\n");
            return ExitCodes.NothingWrong;
        });
        return verb;
    }

    /// <summary>Gives a verb the option that names the file to write.</summary>
    public static Option<string?> Output(Command verb)
    {
        var output = new Option<string?>("--output", "-o")
        {
            Description = "File to write (default: standard output).",
            HelpName = "FILE",
        };
        verb.Add(output);
        return output;
    }

    /// <summary>Writes a text to a file or to standard output.</summary>
    public static int Write(StandardStreams streams, string? path, string text)
    {
        if (path is null)
        {
            streams.Output.Write(text);
            return ExitCodes.NothingWrong;
        }
        try
        {
            File.WriteAllText(path, text);
            return ExitCodes.NothingWrong;
        }
        catch (Exception problem)
            when (problem is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            return DiagnosticReport.Refuse(
                streams,
                json: false,
                $"{path} cannot be written: {problem.Message}"
            );
        }
    }

    private static (byte[]? Bytes, string? Problem) ReadFile(string path)
    {
        try
        {
            return (InputFile.ReadBytes(path, JobImport.MostBytes), null);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return (null, $"{path} cannot be read: {problem.Message}");
        }
    }
}

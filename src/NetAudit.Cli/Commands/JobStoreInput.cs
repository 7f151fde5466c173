using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Jobs;

namespace NetAudit.Cli.Commands;

/// <summary>The option that names the file of jobs; the same for every verb.</summary>
internal sealed class JobStoreInput
{
    private readonly Option<string?> _file = new("--jobs")
    {
        Description = "File of jobs (default: netaudit/jobs.db in your data folder).",
        HelpName = "FILE",
    };

    private readonly Option<bool> _json = new("--json") { Description = "Answer in JSON." };

    /// <summary>Gives a verb the options.</summary>
    public JobStoreInput(Command verb)
    {
        verb.Add(_file);
        verb.Add(_json);
    }

    /// <summary>Whether the answer is to be JSON.</summary>
    public bool IsJson(ParseResult parsed) => parsed.GetValue(_json);

    /// <summary>Opens the store. Null after saying what is wrong.</summary>
    public JobStore? Open(ParseResult parsed, StandardStreams streams)
    {
        var (store, problem) = JobStore.Open(PathOf(parsed), TimeProvider.System);
        if (problem is not null)
        {
            DiagnosticReport.Refuse(streams, IsJson(parsed), [problem]);
        }
        return store;
    }

    /// <summary>The file's path.</summary>
    public string PathOf(ParseResult parsed) =>
        parsed.GetValue(_file)
        ?? Path.Combine(
            Environment.GetFolderPath(
                Environment.SpecialFolder.LocalApplicationData,
                Environment.SpecialFolderOption.DoNotVerify
            ),
            "netaudit",
            "jobs.db"
        );
}

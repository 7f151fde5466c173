using System.CommandLine;
using System.CommandLine.Completions;
using System.Reflection;
using NetAudit.Cli.Manuals;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit manual [VERB...]</c></summary>
internal static class ManualCommand
{
    /// <summary>Makes the verb.</summary>
    /// <param name="root">The command, whose verbs the manual is about.</param>
    /// <param name="streams">Where to write.</param>
    public static Command Create(RootCommand root, StandardStreams streams)
    {
        var verb = new Command("manual", "Print the manual: every verb and option, on one page.");
        var about = new Argument<string[]>("VERB")
        {
            Description = "Only the page of this verb, for example jobs report.",
        };
        about.CompletionSources.Add(_ =>
            root.Subcommands.Select(below => new CompletionItem(below.Name))
        );
        var roff = new Option<bool>("--roff")
        {
            Description = "As a page for man, to be kept in a file.",
        };
        verb.Add(about);
        verb.Add(roff);
        verb.SetAction(parsed =>
        {
            List<Command> path = [root];
            foreach (var word in parsed.GetValue(about) ?? [])
            {
                if (
                    path[^1].Subcommands.FirstOrDefault(below => below.Name == word) is not { } next
                )
                {
                    return DiagnosticReport.Refuse(
                        streams,
                        json: false,
                        $"there is no command \"{word}\"",
                        "netaudit manual names them all"
                    );
                }
                path.Add(next);
            }
            var page = ManualPage.Of(path);
            if (parsed.GetValue(roff))
            {
                ManualRoff.Write(streams.Output, ManualPage.Name(path), Version(), page);
            }
            else
            {
                ManualText.Write(Screen.For(streams), page);
            }
            return ExitCodes.NothingWrong;
        });
        return verb;
    }

    private static string Version() =>
        typeof(ManualCommand)
            .Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()!
            .InformationalVersion;
}

using System.CommandLine;
using NetAudit.Common;

namespace NetAudit.Cli;

/// <summary>What is wrong with a command line, in words.</summary>
internal static class UsageErrors
{
    /// <summary>The errors of a parsed command line that has some.</summary>
    public static Diagnostic[] Of(ParseResult parsed, string[] args)
    {
        var verb = parsed.CommandResult.Command;
        if (verb is RootCommand root)
        {
            var names = string.Join(", ", root.Subcommands.Select(command => command.Name));
            var message = args.FirstOrDefault(arg => !arg.StartsWith('-')) is { } unknown
                ? $"there is no command \"{unknown}\""
                : "no command is given";
            return [Error(message, $"the commands are {names}; netaudit --help tells more")];
        }
        return
        [
            .. parsed.Errors.Select(error =>
                Error(
                    error.Message.TrimEnd('.').Replace('\'', '"'),
                    $"netaudit {verb.Name} --help shows how it is used"
                )
            ),
        ];
    }

    private static Diagnostic Error(string message, string mend) =>
        new(Severity.Error, null, message, mend);
}

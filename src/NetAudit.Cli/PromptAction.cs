using System.CommandLine;
using System.CommandLine.Invocation;

namespace NetAudit.Cli;

/// <summary>
/// A verb's work on a thread of its own. The command line library ends the process some seconds after Ctrl-C or a wish to terminate, but
/// only when the work has given the thread back by then.
/// </summary>
internal sealed class PromptAction(AsynchronousCommandLineAction work)
    : AsynchronousCommandLineAction
{
    public override Task<int> InvokeAsync(
        ParseResult parseResult,
        CancellationToken cancellationToken = default
    ) => Task.Run(() => work.InvokeAsync(parseResult, cancellationToken), CancellationToken.None);

    /// <summary>Does so for a command and all below it.</summary>
    public static void Below(Command command)
    {
        if (command.Action is AsynchronousCommandLineAction work)
        {
            command.Action = new PromptAction(work);
        }
        foreach (var below in command.Subcommands)
        {
            Below(below);
        }
    }
}

using System.CommandLine;
using System.CommandLine.Help;
using NetAudit.Cli.Commands;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli;

/// <summary>The command: arguments to exit code.</summary>
internal static class CommandLine
{
    private const string Json = "--json";

    /// <summary>Runs one command.</summary>
    /// <param name="args">The arguments, without the program's name.</param>
    /// <param name="streams">Where to read and write; flushed at the end.</param>
    /// <param name="cancellationToken">Cancels, as Ctrl-C does.</param>
    /// <returns>One of <see cref="ExitCodes"/>.</returns>
    public static async Task<int> RunAsync(
        string[] args,
        StandardStreams streams,
        CancellationToken cancellationToken = default
    )
    {
        try
        {
            return await InvokeAsync(args, streams, cancellationToken);
        }
        catch (OperationCanceledException)
        {
            streams.Error.Write("Cancelled.\n");
            return ExitCodes.Cancelled;
        }
        // The last resort: whatever went wrong, the user gets words and an exit code of its own.
#pragma warning disable CA1031
        catch (Exception fault)
#pragma warning restore CA1031
        {
            DiagnosticReport.Refuse(
                streams,
                args.Contains(Json),
                $"the program itself failed, not your input: {fault.GetType().Name}: {fault.Message}",
                "please report it with the files and the command that led here"
            );
            streams.Error.Write(fault.StackTrace + "\n");
            return ExitCodes.InternalError;
        }
        finally
        {
            await streams.Output.FlushAsync(CancellationToken.None);
            await streams.Error.FlushAsync(CancellationToken.None);
        }
    }

    private static async Task<int> InvokeAsync(
        string[] args,
        StandardStreams streams,
        CancellationToken cancellationToken
    )
    {
        var parsed = Root(streams).Parse(args);
        if (parsed.Errors.Count > 0)
        {
            return DiagnosticReport.Refuse(
                streams,
                args.Contains(Json),
                UsageErrors.Of(parsed, args)
            );
        }
        var invocation = new InvocationConfiguration
        {
            Output = streams.Output,
            Error = streams.Error,
            EnableDefaultExceptionHandler = false,
        };
        return await parsed.InvokeAsync(invocation, cancellationToken);
    }

    /// <summary>Every verb with its options.</summary>
    internal static RootCommand Root(StandardStreams streams)
    {
        var root = new RootCommand(
            "Finds what is wrong with an amplifier from its circuit and a few voltage readings."
        )
        {
            ExpectCommand.Create(streams),
            DiagnoseCommand.Create(streams),
            SolveCommand.Create(streams),
            LevelsCommand.Create(streams),
            ResponseCommand.Create(streams),
            CompareCommand.Create(streams),
            IdentifyCommand.Create(streams),
            CalibrateCommand.Create(streams),
            JobsCommand.Create(streams),
            BenchCommand.Create(streams),
            CheckCommand.Create(streams),
            StressCommand.Create(streams),
            DriveCommand.Create(streams),
            SurgeCommand.Create(streams),
            ConsequencesCommand.Create(streams),
            ServiceCommand.Create(streams),
            NewCommand.Create(streams),
        };
        root.Add(ManualCommand.Create(root, streams));
        PromptAction.Below(root);
        foreach (var option in root.Options)
        {
            if (option is HelpOption { Action: HelpAction usual } help)
            {
                usual.MaxWidth = streams.Width;
                help.Description = "Show help and usage.";
                help.Action = new HelpWithExamples(usual);
            }
            else if (option is VersionOption version)
            {
                version.Description = "Show the version.";
            }
        }
        return root;
    }
}

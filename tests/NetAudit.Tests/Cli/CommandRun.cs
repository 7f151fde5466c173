using System.Diagnostics;
using System.Text.Json;
using NetAudit.Cli;
using NetAudit.Cli.Terminals;

namespace NetAudit.Tests.Cli;

/// <summary>What a command did.</summary>
internal sealed record CommandRun(int ExitCode, string Output, string Error)
{
    /// <summary>Standard output as JSON.</summary>
    public JsonElement Json => JsonDocument.Parse(Output).RootElement;

    /// <summary>Runs a command inside the tests, as in a pipe.</summary>
    public static async Task<CommandRun> HereAsync(string input, params string[] args)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        using var typed = new StringReader(input);
        var code = await CommandLine.RunAsync(args, new StandardStreams(typed, output, error));
        return new CommandRun(code, output.ToString(), error.ToString());
    }

    /// <summary>Runs the built command as a process of its own, in the repository's root folder.</summary>
    public static async Task<CommandRun> ProcessAsync(string input, params string[] args)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            WorkingDirectory = Repository.File("."),
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        foreach (
            var arg in args.Prepend(Path.Combine(AppContext.BaseDirectory, "NetAudit.Cli.dll"))
        )
        {
            start.ArgumentList.Add(arg);
        }
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync();
        var error = process.StandardError.ReadToEndAsync();
        await process.StandardInput.WriteAsync(input);
        process.StandardInput.Close();
        await process.WaitForExitAsync();
        return new CommandRun(process.ExitCode, await output, await error);
    }
}

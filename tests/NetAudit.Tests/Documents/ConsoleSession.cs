using System.Diagnostics;
using System.Text;

namespace NetAudit.Tests.Documents;

/// <summary>A <c>console</c> block of a document: commands after <c>$</c>, what they print below.</summary>
internal static class ConsoleSession
{
    private const string Fence = "```";
    private const string Opening = Fence + "console";

    private const string DotnetRun = "dotnet run --project src/NetAudit.Cli -c Release -- ";

    /// <summary>The document as it would be if every block held what its commands print now.</summary>
    public static async Task<string> RunAsync(string document)
    {
        var folder = Directory.CreateTempSubdirectory("netaudit-");
        try
        {
            File.CreateSymbolicLink(
                Path.Combine(folder.FullName, "sample-circuits"),
                Repository.File("sample-circuits")
            );
            return await RunBlocksAsync(document, folder.FullName);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>Commands of indented blocks that run the program, as one would paste them.</summary>
    public static IEnumerable<string> IndentedCommands(string document) =>
        document
            .Split('\n')
            .Where(line => line.StartsWith("    " + DotnetRun, StringComparison.Ordinal))
            .Select(line => line.Trim());

    /// <summary>Runs one line of shell in a folder; returns its exit code and standard output.</summary>
    public static async Task<(int ExitCode, string Output)> ShellAsync(
        string command,
        string folder
    )
    {
        var built = Path.Combine(AppContext.BaseDirectory, "NetAudit.Cli.dll");
        var script =
            $"netaudit() {{ dotnet '{built}' \"$@\"; }}\n"
            + command.Replace(DotnetRun, "netaudit ", StringComparison.Ordinal);
        var start = new ProcessStartInfo("bash")
        {
            ArgumentList = { "-c", script },
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
        };
        using var process = Process.Start(start)!;
        var output = await process.StandardOutput.ReadToEndAsync();
        await process.WaitForExitAsync();
        return (process.ExitCode, output);
    }

    private static async Task<string> RunBlocksAsync(string document, string folder)
    {
        var text = new StringBuilder();
        var inBlock = false;
        foreach (var line in document.TrimEnd('\n').Split('\n'))
        {
            var ends = inBlock && line == Fence;
            inBlock = (inBlock || line == Opening) && !ends;
            var isOutput =
                inBlock && line != Opening && !line.StartsWith("$ ", StringComparison.Ordinal);
            if (!isOutput)
            {
                text.Append(line).Append('\n');
            }
            if (inBlock && line.StartsWith("$ ", StringComparison.Ordinal))
            {
                text.Append((await ShellAsync(line[2..], folder)).Output);
            }
        }
        return text.ToString();
    }
}

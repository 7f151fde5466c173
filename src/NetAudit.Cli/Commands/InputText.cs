using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Commands;

/// <summary>The text of a file named on the command line.</summary>
internal static class InputText
{
    /// <summary>The text, or what is wrong; <c>-</c> is standard input.</summary>
    public static async Task<(string? Text, string? Problem)> ReadAsync(
        string path,
        StandardStreams streams,
        CancellationToken cancellation
    )
    {
        try
        {
            return path == "-"
                ? (await InputFile.ReadTextAsync(streams.Input, cancellation), null)
                : (InputFile.ReadText(path), null);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return (null, $"{path} cannot be read: {problem.Message}");
        }
    }
}

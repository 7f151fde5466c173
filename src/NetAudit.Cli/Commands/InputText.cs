using System.Text;
using NetAudit.Cli.Terminals;

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
                ? (await streams.Input.ReadToEndAsync(cancellation), null)
                : (await File.ReadAllTextAsync(path, Encoding.UTF8, cancellation), null);
        }
        catch (Exception problem)
            when (problem is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            return (null, $"{path} cannot be read: {problem.Message}");
        }
    }
}

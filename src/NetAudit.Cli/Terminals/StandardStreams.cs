using System.Text;

namespace NetAudit.Cli.Terminals;

/// <summary>Where the program reads and writes; tests put their own in its place.</summary>
/// <param name="Input">Standard input.</param>
/// <param name="Output">Standard output, UTF-8.</param>
/// <param name="Error">Standard error, UTF-8.</param>
internal sealed record StandardStreams(TextReader Input, TextWriter Output, TextWriter Error)
{
    private const int PipeWidth = 80;
    private const int LeastWidth = 40;

    // Wider lines are hard to read.
    private const int MostWidth = 100;

    /// <summary>True when a person types at standard input and reads standard output.</summary>
    public bool IsInteractive { get; init; }

    /// <summary>True when standard output is a terminal that may be styled.</summary>
    public bool IsStyled { get; init; }

    /// <summary>True when standard error is a terminal that can show progress.</summary>
    public bool ShowsProgress { get; init; }

    /// <summary>Columns to write in.</summary>
    public int Width { get; init; } = PipeWidth;

    /// <summary>The terminal or the pipes that the process was started with.</summary>
    public static StandardStreams OfProcess()
    {
        var capable = Environment.GetEnvironmentVariable("TERM") is not (null or "" or "dumb");
        var colour = string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"));
        var output = !Console.IsOutputRedirected;
        return new(
            Console.IsInputRedirected
                ? new StreamReader(Console.OpenStandardInput(), Encoding.UTF8)
                : Console.In,
            Writer(Console.OpenStandardOutput(), output),
            Writer(Console.OpenStandardError(), true)
        )
        {
            IsInteractive = output && !Console.IsInputRedirected && capable,
            IsStyled = output && capable && colour,
            ShowsProgress = output && !Console.IsErrorRedirected && capable,
            Width = output ? Math.Clamp(Columns(), LeastWidth, MostWidth) : PipeWidth,
        };
    }

    private static StreamWriter Writer(Stream stream, bool autoFlush) =>
        new(stream, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false))
        {
            AutoFlush = autoFlush,
        };

    private static int Columns()
    {
        // A terminal that does not know its size says 0.
        var columns = Console.WindowWidth;
        return columns > 0 ? columns : PipeWidth;
    }
}

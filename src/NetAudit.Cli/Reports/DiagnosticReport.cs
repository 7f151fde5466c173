using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>Says what is wrong with the input.</summary>
internal static class DiagnosticReport
{
    /// <summary>
    /// Input that cannot be used: in words on standard error, or as a JSON array on standard output, so that a program finds one JSON
    /// document there whatever happens. Returns the exit code.
    /// </summary>
    public static int Refuse(
        StandardStreams streams,
        bool json,
        IReadOnlyList<Diagnostic> diagnostics
    )
    {
        if (json)
        {
            streams.Output.Write(DiagnosticJson.ToText(diagnostics) + "\n");
        }
        else
        {
            WriteText(streams, diagnostics);
        }
        return ExitCodes.BadInput;
    }

    /// <summary>As above for something that has no place in a file.</summary>
    public static int Refuse(
        StandardStreams streams,
        bool json,
        string message,
        string? mend = null
    ) => Refuse(streams, json, [new Diagnostic(Severity.Error, null, message, mend)]);

    /// <summary>What is worth saying beside an answer: on standard error, as JSON there when the answer is JSON.</summary>
    public static void Remark(
        StandardStreams streams,
        bool json,
        IReadOnlyList<Diagnostic> diagnostics
    )
    {
        if (diagnostics.Count == 0)
        {
            return;
        }
        if (json)
        {
            streams.Error.Write(DiagnosticJson.ToText(diagnostics) + "\n");
        }
        else
        {
            WriteText(streams, diagnostics);
        }
    }

    private static void WriteText(StandardStreams streams, IReadOnlyList<Diagnostic> diagnostics)
    {
        foreach (var diagnostic in diagnostics)
        {
            streams.Error.Write(Visible.Text(diagnostic.ToString()) + "\n");
        }
    }
}

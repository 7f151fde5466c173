using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Simulation;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit solve CIRCUIT</c></summary>
internal static class SolveCommand
{
    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "solve",
            "Show the DC operating point: every node voltage and source current."
        );
        var input = new CircuitInput(verb);
        verb.SetAction((parsed, cancellation) => RunAsync(streams, input, parsed, cancellation));
        return verb;
    }

    private static async Task<int> RunAsync(
        StandardStreams streams,
        CircuitInput input,
        ParseResult parsed,
        CancellationToken cancellation
    )
    {
        if (input.Read(parsed, streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var circuit = amplifier.Circuit;
        var point = await Progress.DuringAsync(
            streams,
            "Solving",
            () => new OperatingPointSolver().Solve(circuit, cancellation)
        );
        if (input.IsJson(parsed))
        {
            streams.Output.Write(OperatingPointJson.ToText(circuit, point) + "\n");
        }
        else if (point.Converged)
        {
            OperatingPointReport.Write(Screen.For(streams), circuit, point);
        }
        else
        {
            Diagnostic[] notes =
            [
                .. point.Notes.Select(note => new Diagnostic(Severity.Note, null, note)),
            ];
            DiagnosticReport.Refuse(streams, json: false, [.. notes, point.Problem!]);
        }
        return point.Converged ? ExitCodes.NothingWrong : ExitCodes.BadInput;
    }
}

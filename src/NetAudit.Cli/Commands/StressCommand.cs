using System.CommandLine;
using NetAudit.Audits.Stresses;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit stress CIRCUIT</c></summary>
internal static class StressCommand
{
    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "stress",
            "Show what every part endures against its limit, and what fuses do."
        );
        var input = new CircuitInput(verb);
        var all = new Option<bool>("--all")
        {
            Description = "Every part, not only the most stressed.",
        };
        verb.Add(all);
        verb.SetAction(
            (parsed, cancellation) =>
                RunAsync(streams, input, parsed, parsed.GetValue(all), cancellation)
        );
        return verb;
    }

    private static async Task<int> RunAsync(
        StandardStreams streams,
        CircuitInput input,
        ParseResult parsed,
        bool all,
        CancellationToken cancellation
    )
    {
        if (input.Read(parsed, streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var (report, problem) = await Progress.DuringAsync(
            streams,
            "Measuring the stresses",
            () => StressAnalysis.Of(amplifier, cancellation)
        );
        if (report is null)
        {
            return DiagnosticReport.Refuse(streams, input.IsJson(parsed), [problem!]);
        }
        if (input.IsJson(parsed))
        {
            streams.Output.Write(StressJson.ToText(report) + "\n");
        }
        else
        {
            StressReportText.Write(Screen.For(streams), amplifier, report, all);
        }
        return report.Lines.Any(line => line.Ratio > 1) ? ExitCodes.Found : ExitCodes.NothingWrong;
    }
}

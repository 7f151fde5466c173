using System.Collections.Immutable;
using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Expectations.LargeSignal;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit surge CIRCUIT</c></summary>
internal static class SurgeCommand
{
    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "surge",
            "Show how far each rail rises at switch-on, with cold and with warm tubes."
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
        ImmutableArray<SwitchOnSurge> surges = await Progress.DuringAsync(
            streams,
            "Switching on",
            () =>
                ImmutableArray.Create(
                    SwitchOnSurge.Of(amplifier, coldTubes: true, cancellation),
                    SwitchOnSurge.Of(amplifier, coldTubes: false, cancellation)
                )
        );
        if (surges.FirstOrDefault(surge => surge.Reason is not null) is { Reason: { } reason })
        {
            return DiagnosticReport.Refuse(streams, input.IsJson(parsed), reason);
        }
        if (input.IsJson(parsed))
        {
            streams.Output.Write(SurgeJson.ToText(amplifier, surges) + "\n");
        }
        else
        {
            SurgeReport.Write(Screen.For(streams), amplifier, surges);
        }
        return ExitCodes.NothingWrong;
    }
}

using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Expectations;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit expect CIRCUIT</c></summary>
internal static class ExpectCommand
{
    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "expect",
            "Show what a healthy unit reads at every point, with limits."
        );
        var input = new CircuitInput(verb, takesCalibration: true);
        var csv = new Option<bool>("--csv") { Description = "A readings sheet ready to fill in." };
        verb.Add(csv);
        verb.Validators.Add(result =>
        {
            if (result.GetValue(csv) && result.GetValue<bool>("--json"))
            {
                result.AddError("--csv and --json exclude each other");
            }
        });
        verb.SetAction(
            (parsed, cancellation) =>
                RunAsync(streams, input, parsed, parsed.GetValue(csv), cancellation)
        );
        return verb;
    }

    private static async Task<int> RunAsync(
        StandardStreams streams,
        CircuitInput input,
        ParseResult parsed,
        bool csv,
        CancellationToken cancellation
    )
    {
        if (input.Read(parsed, streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var expectation = await Progress.DuringAsync(
            streams,
            "Predicting the readings",
            () => Expectation.Of(amplifier, cancellation)
        );
        if (expectation.Reason is { } reason)
        {
            return DiagnosticReport.Refuse(streams, input.IsJson(parsed), reason);
        }
        if (input.IsJson(parsed))
        {
            streams.Output.Write(ExpectationJson.ToText(amplifier, expectation) + "\n");
        }
        else if (csv)
        {
            streams.Output.Write(ReadingsFile.Empty(amplifier, expectation));
        }
        else
        {
            ExpectationReport.Write(Screen.For(streams), amplifier, expectation);
        }
        return ExitCodes.NothingWrong;
    }
}

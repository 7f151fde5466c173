using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Expectations;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit expect CIRCUIT</c></summary>
internal sealed class ExpectCommand
{
    private readonly Option<bool> _off = new("--off")
    {
        Description =
            "Resistances with the power off: across each part, and from points to chassis.",
    };

    private readonly Option<bool> _levels = new("--levels")
    {
        Description = "Levels of the sheet's test signal.",
    };

    private readonly ConditionOption _condition;
    private readonly Option<bool> _csv;

    private readonly CircuitInput _input;
    private readonly StandardStreams _streams;

    private ExpectCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb, takesCalibration: true);
        verb.Add(_off);
        verb.Add(_levels);
        _condition = new ConditionOption(verb);
        _csv = OutputForms.AddCsv(verb, "A readings sheet ready to fill in.");
        verb.Validators.Add(result =>
        {
            if (result.GetValue(_off) && result.GetValue(_levels))
            {
                result.AddError("--off and --levels exclude each other");
            }
        });
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "expect",
            "Show what a healthy unit reads at every point, with limits."
        );
        _ = new ExpectCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        var json = _input.IsJson(parsed);
        if (
            _input.Read(parsed, _streams, cancellation) is not { } amplifier
            || _condition.Read(parsed, amplifier, _streams, json) is not { } read
        )
        {
            return ExitCodes.BadInput;
        }
        var (kind, condition) = Wanted(parsed, read);
        var expectation = await Progress.DuringAsync(
            _streams,
            "Predicting the readings",
            () => Expectation.Of(amplifier, kind, condition, cancellation)
        );
        if (expectation.Problem is { } problem)
        {
            return DiagnosticReport.Refuse(_streams, json, [problem]);
        }
        if (json)
        {
            _streams.Output.Write(ExpectationJson.ToText(amplifier, expectation) + "\n");
        }
        else if (parsed.GetValue(_csv))
        {
            _streams.Output.Write(ReadingsFile.Empty(amplifier, expectation));
        }
        else
        {
            ExpectationReport.Write(Screen.For(_streams), amplifier, expectation, kind, condition);
        }
        return ExitCodes.NothingWrong;
    }

    private (ReadingKind Kind, Condition Condition) Wanted(ParseResult parsed, Condition condition)
    {
        var isOff = condition.IsOff;
        if (parsed.GetValue(_levels))
        {
            return (ReadingKind.Ac, condition);
        }
        if (parsed.GetValue(_off) && !isOff)
        {
            return (ReadingKind.Ohms, Condition.Of(condition.Terms.Add(new PowerOff())));
        }
        return (isOff ? ReadingKind.Ohms : ReadingKind.Dc, condition);
    }
}

using System.CommandLine;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations.Levels;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit levels CIRCUIT</c></summary>
internal sealed class LevelsCommand
{
    private readonly CircuitInput _input;
    private readonly ConditionOption _condition;
    private readonly Option<bool> _csv;
    private readonly StandardStreams _streams;

    private readonly Option<string?> _frequency = new("--frequency")
    {
        Description = "Frequency in hertz, 440 or 2.5k (default: the sheet's).",
        HelpName = "HZ",
    };

    private LevelsCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb);
        verb.Add(_frequency);
        _condition = new ConditionOption(verb);
        _csv = OutputForms.AddCsv(verb, "The level at every point as a table, CSV.");
        verb.Validators.Add(result =>
        {
            if (
                result.GetValue(_frequency) is { } text
                && !(EngineeringNotation.TryParse(text, out var hertz) && hertz > 0)
            )
            {
                result.AddError($"\"{text}\" is no frequency: write 1000 or 2.5k");
            }
        });
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "levels",
            "Follow the test signal: level at every point, gain of every stage."
        );
        _ = new LevelsCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        var json = _input.IsJson(parsed);
        if (
            _input.Read(parsed, _streams, cancellation) is not { } amplifier
            || _condition.Read(parsed, amplifier, _streams, json) is not { } condition
        )
        {
            return ExitCodes.BadInput;
        }
        double? frequency =
            parsed.GetValue(_frequency) is { } text
            && EngineeringNotation.TryParse(text, out var hertz)
                ? hertz
                : null;
        var (levels, problem) = await Progress.DuringAsync(
            _streams,
            "Following the signal",
            () => SignalLevels.Of(amplifier, condition, frequency, cancellation)
        );
        if (levels is null)
        {
            return DiagnosticReport.Refuse(_streams, json, [problem!]);
        }
        if (json)
        {
            _streams.Output.Write(SignalLevelsJson.ToText(amplifier, levels) + "\n");
        }
        else if (parsed.GetValue(_csv))
        {
            _streams.Output.Write(LevelTables.ToCsv(amplifier, levels));
        }
        else
        {
            LevelReport.Write(Screen.For(_streams), amplifier, condition, levels);
        }
        return ExitCodes.NothingWrong;
    }
}

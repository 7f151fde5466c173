using System.CommandLine;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Expectations.Levels;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit response CIRCUIT --from NODE --to NODE</c></summary>
internal sealed class ResponseCommand
{
    private readonly CircuitInput _input;
    private readonly ConditionOption _condition;
    private readonly Option<bool> _csv;
    private readonly StandardStreams _streams;

    private readonly Option<string?> _from = new("--from")
    {
        Description = "Point where the signal goes in (default: the sheet's source).",
        HelpName = "POINT",
    };

    private readonly Option<string?> _to = new("--to")
    {
        Description = "Point where it is taken (default: the load, or the last stage's output).",
        HelpName = "POINT",
    };

    private readonly Option<string?> _plot = new("--plot")
    {
        Description = "Draw it too, into an SVG file.",
        HelpName = "FILE",
    };

    private ResponseCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb);
        verb.Add(_from);
        verb.Add(_to);
        _condition = new ConditionOption(verb);
        _csv = OutputForms.AddCsv(verb, "The response as a table, CSV.");
        verb.Add(_plot);
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "response",
            "Show the gain between two points from 20 Hz to 20 kHz, and its -3 dB points."
        );
        _ = new ResponseCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        var json = _input.IsJson(parsed);
        if (
            _input.Read(parsed, _streams, cancellation) is not { } amplifier
            || _condition.Read(parsed, amplifier, _streams, json) is not { } condition
            || !TryFind(parsed, _from, amplifier, out var from)
            || !TryFind(parsed, _to, amplifier, out var to)
        )
        {
            return ExitCodes.BadInput;
        }
        var (response, problem) = await Progress.DuringAsync(
            _streams,
            "Sweeping",
            () => FrequencyResponse.Of(amplifier, from, to, condition, cancellation)
        );
        if (response is null)
        {
            return DiagnosticReport.Refuse(_streams, json, [problem!]);
        }
        if (parsed.GetValue(_plot) is { } file && !TryPlot(file, amplifier, response, json))
        {
            return ExitCodes.BadInput;
        }
        if (json)
        {
            _streams.Output.Write(FrequencyResponseJson.ToText(amplifier, response) + "\n");
        }
        else if (parsed.GetValue(_csv))
        {
            _streams.Output.Write(LevelTables.ToCsv(response));
        }
        else
        {
            ResponseReport.Write(Screen.For(_streams), amplifier, condition, response);
        }
        return ExitCodes.NothingWrong;
    }

    private bool TryFind(
        ParseResult parsed,
        Option<string?> option,
        Amplifier amplifier,
        out int? node
    )
    {
        node = null;
        if (parsed.GetValue(option) is not { } name)
        {
            return true;
        }
        node = amplifier.FindPoint(name)?.Node;
        if (node is null)
        {
            DiagnosticReport.Refuse(
                _streams,
                _input.IsJson(parsed),
                $"the circuit has no point \"{name}\"",
                "netaudit expect lists the points"
            );
        }
        return node is not null;
    }

    private bool TryPlot(string file, Amplifier amplifier, FrequencyResponse response, bool json)
    {
        try
        {
            File.WriteAllText(file, ResponsePlot.ToSvg(amplifier, response));
            return true;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            DiagnosticReport.Refuse(_streams, json, $"{file} cannot be written: {fault.Message}");
            return false;
        }
    }
}

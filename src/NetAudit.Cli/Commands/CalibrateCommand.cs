using System.CommandLine;
using NetAudit.Audits.Calibrations;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Expectations;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit calibrate CIRCUIT [READINGS]</c></summary>
internal sealed class CalibrateCommand
{
    private readonly Argument<string?> _readings = new("READINGS")
    {
        Description =
            "Readings of a known-good unit (*.csv); left out: the voltages published in the sheet.",
        Arity = ArgumentArity.ZeroOrOne,
    };

    private readonly Option<string?> _output = new("--output", "-o")
    {
        Description = "Write the calibration to this file.",
        HelpName = "FILE",
    };

    private readonly Option<bool> _sameUnit = new("--same-unit")
    {
        Description =
            "The unit to be diagnosed is the one that was read: its parts then stray less.",
    };

    private readonly CircuitInput _input;
    private readonly StandardStreams _streams;

    private CalibrateCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb);
        verb.Add(_readings);
        verb.Add(_output);
        verb.Add(_sameUnit);
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "calibrate",
            "Fit a circuit to published voltages or to a known-good unit."
        );
        _ = new CalibrateCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        if (_input.Read(parsed, _streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var json = _input.IsJson(parsed);
        var path = parsed.GetValue(_readings);
        IReadOnlyList<Reading>? readings = null;
        if (path is not null)
        {
            var (text, unread) = await InputText.ReadAsync(path, _streams, cancellation);
            if (text is null)
            {
                return DiagnosticReport.Refuse(_streams, json, unread!);
            }
            var read = ReadingsFile.ReadText(text, path, amplifier);
            if (read.HasErrors)
            {
                return DiagnosticReport.Refuse(_streams, json, read.Diagnostics);
            }
            readings = read.Readings;
        }
        var (result, problem) = await Progress.DuringAsync(
            _streams,
            "Fitting",
            () => Calibrator.Fit(amplifier, readings, parsed.GetValue(_sameUnit), cancellation)
        );
        if (result is null)
        {
            return DiagnosticReport.Refuse(_streams, json, [problem!]);
        }
        if (json)
        {
            _streams.Output.Write(CalibrationJson.ToText(result) + "\n");
        }
        else
        {
            CalibrationReport.Write(Screen.For(_streams), amplifier, result);
        }
        return result.IsSound
            ? await SaveAsync(parsed, amplifier, result, path, cancellation)
            : ExitCodes.Found;
    }

    private async Task<int> SaveAsync(
        ParseResult parsed,
        Amplifier amplifier,
        CalibrationResult result,
        string? readings,
        CancellationToken cancellation
    )
    {
        if (parsed.GetValue(_output) is not { } file)
        {
            return ExitCodes.NothingWrong;
        }
        var moved = result.Terms.ToDictionary(term => term.Name, term => term.Moved);
        var from =
            readings is null ? "published voltages"
            : parsed.GetValue(_sameUnit) ? $"{readings}, the same unit"
            : $"{readings}, a known-good unit";
        var text = CalibrationFile.ToText(
            result.Calibration,
            from,
            [.. result.Calibration.Terms.Select(term => moved[term.Name])]
        );
        try
        {
            await File.WriteAllTextAsync(file, text, cancellation);
        }
        catch (Exception problem)
            when (problem is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            return DiagnosticReport.Refuse(
                _streams,
                json: false,
                $"{file} cannot be written: {problem.Message}"
            );
        }
        if (!_input.IsJson(parsed))
        {
            _streams.Output.Write($"\nThe calibration of {Titles.Of(amplifier)} is in {file}.\n");
        }
        return ExitCodes.NothingWrong;
    }
}

using System.CommandLine;
using NetAudit.Circuits;
using NetAudit.Cli.Plots;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations.LargeSignal;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit drive CIRCUIT</c></summary>
internal sealed class DriveCommand
{
    private const int MostPerDecade = 100;

    private readonly CircuitInput _input;
    private readonly StandardStreams _streams;
    private readonly Option<string?> _from = Text(
        "--from",
        "VOLTS",
        "Lowest drive, RMS, such as 1m (default: a tenth of the sheet's test signal)."
    );
    private readonly Option<string?> _to = Text(
        "--to",
        "VOLTS",
        "Highest drive, RMS (default: a little above clipping)."
    );
    private readonly Option<string?> _frequency = Text(
        "--frequency",
        "HERTZ",
        "Frequency (default: the sheet's test signal, else 1k)."
    );
    private readonly Option<string?> _source = Text(
        "--source",
        "NAME",
        "Voltage source to drive (default: the sheet's test signal)."
    );
    private readonly Option<string?> _load = Text(
        "--load",
        "NAME",
        "Resistor that is the load (default: the one among the sheet's fixtures)."
    );
    private readonly Option<string?> _plot = Text(
        "--plot",
        "FILE",
        "Write power and distortion against drive as an SVG picture."
    );
    private readonly Option<int?> _perDecade = new("--levels")
    {
        Description = "Levels a decade (default: 5).",
        HelpName = "N",
    };
    private readonly Option<bool> _csv;

    private DriveCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb);
        foreach (
            var option in (ReadOnlySpan<Option>)
                [_from, _to, _perDecade, _frequency, _source, _load, _plot]
        )
        {
            verb.Add(option);
        }
        _csv = OutputForms.AddCsv(verb, "A table for a spreadsheet.");
        verb.Validators.Add(result =>
        {
            foreach (var option in (ReadOnlySpan<Option<string?>>)[_from, _to, _frequency])
            {
                if (
                    result.GetValue(option) is { } text
                    && !(EngineeringNotation.TryParse(text, out var value) && value > 0)
                )
                {
                    result.AddError($"{option.Name} needs a number above 0, such as 20m");
                }
            }
            if (result.GetValue(_perDecade) is < 1 or > MostPerDecade)
            {
                result.AddError($"--levels needs a whole number from 1 to {MostPerDecade}");
            }
        });
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "drive",
            "Turn a sine up until it clips: power, distortion, level along the path."
        );
        _ = new DriveCommand(verb, streams);
        return verb;
    }

    private static Option<string?> Text(string name, string help, string description) =>
        new(name) { Description = description, HelpName = help };

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        if (_input.Read(parsed, _streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var (setup, reason) = DriveSetup.Find(
            amplifier,
            parsed.GetValue(_source),
            parsed.GetValue(_load),
            Number(parsed, _frequency)
        );
        if (setup is null)
        {
            return DiagnosticReport.Refuse(
                _streams,
                _input.IsJson(parsed),
                reason!,
                "name it with --source or --load, or in the sheet under [signal] and [bench]"
            );
        }
        var limits = new DriveLimits
        {
            From = Number(parsed, _from),
            To = Number(parsed, _to),
            PerDecade = parsed.GetValue(_perDecade) ?? new DriveLimits().PerDecade,
        };
        var sweep = await Progress.DuringAsync(
            _streams,
            "Turning up the drive",
            () => DriveSweep.Of(amplifier, setup, limits, null, cancellation)
        );
        if (sweep.Reason is { } why)
        {
            return DiagnosticReport.Refuse(_streams, _input.IsJson(parsed), why);
        }
        if (parsed.GetValue(_plot) is { } file)
        {
            try
            {
                await File.WriteAllTextAsync(file, DrivePlot.ToSvg(amplifier, sweep), cancellation);
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
            {
                return DiagnosticReport.Refuse(
                    _streams,
                    _input.IsJson(parsed),
                    $"{file} cannot be written: {fault.Message}"
                );
            }
        }
        Write(parsed, amplifier, sweep);
        return ExitCodes.NothingWrong;
    }

    private void Write(ParseResult parsed, Amplifier amplifier, DriveSweep sweep)
    {
        if (_input.IsJson(parsed))
        {
            _streams.Output.Write(DriveJson.ToText(amplifier, sweep) + "\n");
        }
        else if (parsed.GetValue(_csv))
        {
            _streams.Output.Write(DriveCsv.ToText(amplifier, sweep));
        }
        else
        {
            DriveReport.Write(Screen.For(_streams), amplifier, sweep);
        }
    }

    private static double? Number(ParseResult parsed, Option<string?> option) =>
        parsed.GetValue(option) is { } text && EngineeringNotation.TryParse(text, out var value)
            ? value
            : null;
}

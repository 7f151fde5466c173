using System.CommandLine;
using NetAudit.Audits.Consequences;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Sessions;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit diagnose CIRCUIT READINGS</c>, and <c>netaudit diagnose CIRCUIT --save FILE</c></summary>
internal sealed class DiagnoseCommand
{
    private readonly Argument<string?> _readings = new("READINGS")
    {
        Description = "Readings file (*.csv); - reads standard input.",
        Arity = ArgumentArity.ZeroOrOne,
    };

    private readonly Option<string?> _save = new("--save")
    {
        Description =
            "Take readings one at a time and save each in this file; goes on where the file ends.",
        HelpName = "FILE",
    };

    private readonly Option<int> _faults = new("--faults")
    {
        Description = "Most faults at once that a suspect may hold, 1 to 5.",
        HelpName = "COUNT",
        DefaultValueFactory = _ => new DiagnosisOptions().MaxFaults,
    };

    private readonly Option<string?> _complaint = new("--complaint")
    {
        Description = $"What the owner complains of: {string.Join(", ", Complaints.All)}.",
        HelpName = "WORDS",
    };

    private readonly CircuitInput _input;
    private readonly StandardStreams _streams;

    private DiagnoseCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb, takesCalibration: true);
        verb.Add(_readings);
        verb.Add(_save);
        verb.Add(_faults);
        verb.Add(_complaint);
        _complaint.Validators.Add(result =>
        {
            var text = result.GetValueOrDefault<string?>() ?? "";
            if (Complaints.Find(text) is (null, var hint))
            {
                result.AddError($"--complaint does not know \"{text}\": {hint}");
            }
        });
        _faults.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int>() is < 1 or > 5)
            {
                result.AddError("--faults takes a number from 1 to 5");
            }
        });
        verb.Validators.Add(result =>
        {
            var (readings, save) = (result.GetValue(_readings), result.GetValue(_save));
            var isBare = readings is null && save is null;
            if (
                readings is not null && save is not null
                || isBare && result.GetValue(_complaint) is null
            )
            {
                result.AddError(
                    "give a readings file, or --save FILE to take readings one at a time"
                );
            }
            if (readings == "-" && result.GetValue(_input.Netlist) == "-")
            {
                result.AddError("netlist and readings cannot both come from standard input");
            }
            if (save is not null && result.GetValue<bool>("--json"))
            {
                result.AddError(
                    "--json needs a readings file; a session with --save answers in words"
                );
            }
        });
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command("diagnose", "Find what is wrong from readings.");
        _ = new DiagnoseCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        if (_input.Read(parsed, _streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var options = new DiagnosisOptions
        {
            MaxFaults = parsed.GetValue(_faults),
            Complaint = parsed.GetValue(_complaint) is { } text
                ? Complaints.Find(text).Complaint
                : null,
            WithNext = true,
        };
        var (diagnoser, problem) = Diagnoser.Prepare(amplifier, cancellation);
        if (diagnoser is null)
        {
            return DiagnosticReport.Refuse(_streams, _input.IsJson(parsed), [problem!]);
        }
        return parsed.GetValue(_save) is { } save
            ? await new ReadingSession(_streams, amplifier, diagnoser, options, save).RunAsync(
                cancellation
            )
            : await AnswerAsync(parsed, amplifier, diagnoser, options, cancellation);
    }

    private async Task<int> AnswerAsync(
        ParseResult parsed,
        Amplifier amplifier,
        Diagnoser diagnoser,
        DiagnosisOptions options,
        CancellationToken cancellation
    )
    {
        var json = _input.IsJson(parsed);
        var path = parsed.GetValue(_readings);
        var read =
            path is null ? new([], [])
            : path == "-"
                ? ReadingsFile.ReadText(
                    await InputFile.ReadTextAsync(_streams.Input, cancellation),
                    path,
                    amplifier
                )
            : ReadingsFile.Read(path, amplifier);
        if (read.HasErrors)
        {
            return DiagnosticReport.Refuse(_streams, json, read.Diagnostics);
        }
        var result = await Progress.DuringAsync(
            _streams,
            "Weighing the faults",
            () =>
                diagnoser
                    .Diagnose(read.Readings, options, cancellation)
                    .WithOverloads(diagnoser, cancellation)
        );
        Diagnostic[] notes =
        [
            .. result.Notes.Select(note => new Diagnostic(Severity.Note, null, note)),
        ];
        if (result.IsEmpty)
        {
            var empty = new Diagnostic(
                Severity.Error,
                null,
                $"{path} holds no reading that can be weighed",
                "fill in values that were measured"
            );
            return DiagnosticReport.Refuse(_streams, json, [empty, .. notes]);
        }
        DiagnosticReport.Remark(
            _streams,
            json,
            json ? [.. read.Diagnostics, .. notes] : read.Diagnostics
        );
        if (json)
        {
            _streams.Output.Write(DiagnosisJson.ToText(result) + "\n");
        }
        else
        {
            DiagnosisReport.Write(Screen.For(_streams), amplifier, result);
        }
        return result.Verdict == Verdict.WithinLimits ? ExitCodes.NothingWrong : ExitCodes.Found;
    }
}

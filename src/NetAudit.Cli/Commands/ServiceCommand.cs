using System.CommandLine;
using NetAudit.Audits.Services;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit service CIRCUIT</c></summary>
internal sealed class ServiceCommand
{
    private readonly Option<double?> _age = new("--age")
    {
        Description = "Age of the unit (default: from the sheet's year of build, when it has one).",
        HelpName = "YEARS",
    };

    private readonly Option<bool> _csv;
    private readonly CircuitInput _input;
    private readonly StandardStreams _streams;

    private ServiceCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb);
        verb.Add(_age);
        _csv = OutputForms.AddCsv(verb, "For a spreadsheet.");
        verb.Validators.Add(result =>
        {
            if (result.GetValue(_age) < 0)
            {
                result.AddError("--age takes years, 0 or more");
            }
        });
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "service",
            "List what to order, renew and look at: electrolytics, hot resistors, exposed parts, fuses."
        );
        _ = new ServiceCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        if (_input.Read(parsed, _streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var built = amplifier.Sheet.Built;
        var years = parsed.GetValue(_age) ?? TimeProvider.System.GetLocalNow().Year - built;
        var (items, problem) = await Progress.DuringAsync(
            _streams,
            "Making the list",
            progress => ServiceList.Of(amplifier, years, progress, cancellation)
        );
        if (items is not { } list)
        {
            return DiagnosticReport.Refuse(_streams, _input.IsJson(parsed), [problem!]);
        }
        if (_input.IsJson(parsed))
        {
            _streams.Output.Write(ServiceListText.ToJson(list) + "\n");
        }
        else if (parsed.GetValue(_csv))
        {
            _streams.Output.Write(ServiceListText.ToCsv(list));
        }
        else
        {
            ServiceReport.Write(Screen.For(_streams), amplifier, list, years);
        }
        return list.Any(item => item.IsDue) ? ExitCodes.Found : ExitCodes.NothingWrong;
    }
}

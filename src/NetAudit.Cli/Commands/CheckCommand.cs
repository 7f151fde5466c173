using System.CommandLine;
using NetAudit.Audits.Findings;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit check CIRCUIT</c>, and <c>netaudit check --explain CODE</c></summary>
internal sealed class CheckCommand
{
    private const string All = "all";

    private readonly Option<string?> _explain = new("--explain")
    {
        Description = "Say what a code means, or all codes.",
        HelpName = "CODE|all",
    };

    private readonly CircuitInput _input;
    private readonly StandardStreams _streams;

    private CheckCommand(Command verb, StandardStreams streams)
    {
        _streams = streams;
        _input = new CircuitInput(verb, isOptional: true);
        verb.Add(_explain);
        verb.Validators.Add(result =>
        {
            if ((result.GetValue(_input.Netlist) is null) == (result.GetValue(_explain) is null))
            {
                result.AddError("give a circuit, or --explain CODE");
            }
        });
        verb.SetAction(RunAsync);
    }

    public static Command Create(StandardStreams streams)
    {
        var verb = new Command("check", "Find what looks wrong in a circuit as drawn.");
        _ = new CheckCommand(verb, streams);
        return verb;
    }

    private async Task<int> RunAsync(ParseResult parsed, CancellationToken cancellation)
    {
        if (parsed.GetValue(_explain) is { } code)
        {
            return Explain(parsed, code);
        }
        if (_input.Read(parsed, _streams, cancellation) is not { } amplifier)
        {
            return ExitCodes.BadInput;
        }
        var findings = await Progress.DuringAsync(
            _streams,
            "Checking",
            () => CircuitAudit.Check(amplifier, cancellation)
        );
        if (_input.IsJson(parsed))
        {
            _streams.Output.Write(FindingJson.ToText(findings) + "\n");
        }
        else
        {
            FindingReport.Write(Screen.For(_streams), amplifier, findings);
        }
        return findings.All(finding => finding.Accepted is not null)
            ? ExitCodes.NothingWrong
            : ExitCodes.Found;
    }

    private int Explain(ParseResult parsed, string name)
    {
        FindingCode[] codes = name.Equals(All, StringComparison.OrdinalIgnoreCase)
            ? [.. FindingCode.All]
            :
            [
                .. FindingCode.All.Where(code =>
                    code.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
                ),
            ];
        if (codes.Length == 0)
        {
            return DiagnosticReport.Refuse(
                _streams,
                _input.IsJson(parsed),
                $"there is no code \"{name}\"",
                FindingCode.DidYouMean(name) ?? "netaudit check --explain all lists the codes"
            );
        }
        if (_input.IsJson(parsed))
        {
            _streams.Output.Write(FindingJson.ToText(codes) + "\n");
        }
        else
        {
            FindingReport.Explain(Screen.For(_streams), codes);
        }
        return ExitCodes.NothingWrong;
    }
}

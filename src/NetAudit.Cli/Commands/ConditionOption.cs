using System.CommandLine;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Expectations;

namespace NetAudit.Cli.Commands;

/// <summary>The option that says in which condition the amplifier is.</summary>
internal sealed class ConditionOption
{
    private readonly Option<string?> _condition = new("--condition")
    {
        Description =
            "Condition, as in a readings file: \"volume=1; pull V3\" (default: powered normally).",
        HelpName = "TERMS",
    };

    public ConditionOption(Command verb) => verb.Add(_condition);

    /// <summary>The condition. Null after saying what is wrong with it.</summary>
    public Condition? Read(
        ParseResult parsed,
        Amplifier amplifier,
        StandardStreams streams,
        bool json
    )
    {
        var (condition, diagnostics) = ConditionText.Read(
            parsed.GetValue(_condition) ?? "",
            amplifier
        );
        if (condition is null)
        {
            DiagnosticReport.Refuse(streams, json, diagnostics);
        }
        return condition;
    }
}

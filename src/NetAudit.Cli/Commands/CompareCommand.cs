using System.CommandLine;
using NetAudit.Audits.Variants;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit compare A B [C ...]</c></summary>
internal static class CompareCommand
{
    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "compare",
            "Show how revisions of a model differ: parts, names, voltages, gain, stresses."
        );
        var input = new VariantInput(verb, atLeast: 2);
        var csv = OutputForms.AddCsv(verb, "The differences as a table, CSV.");
        var all = new Option<bool>("--all")
        {
            Description = "Every difference, not only those that matter most.",
        };
        verb.Add(all);
        verb.SetAction(
            async (parsed, cancellation) =>
            {
                if (input.Read(parsed, streams, cancellation) is not { } variants)
                {
                    return ExitCodes.BadInput;
                }
                var comparison = await Progress.DuringAsync(
                    streams,
                    "Comparing",
                    () => VariantComparison.Of(variants, cancellation)
                );
                if (input.IsJson(parsed))
                {
                    streams.Output.Write(
                        ComparisonJson.ToText(comparison, input.Names(parsed)) + "\n"
                    );
                }
                else if (parsed.GetValue(csv))
                {
                    streams.Output.Write(ComparisonCsv.ToText(comparison, input.Names(parsed)));
                }
                else
                {
                    ComparisonReport.Write(Screen.For(streams), comparison, parsed.GetValue(all));
                }
                return comparison.Differences.Any(difference => difference.IsAnother)
                    ? ExitCodes.Found
                    : ExitCodes.NothingWrong;
            }
        );
        return verb;
    }
}

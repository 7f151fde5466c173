using System.Collections.Immutable;
using NetAudit.Audits.Findings;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>Findings, each with its place and mend.</summary>
internal static class FindingReport
{
    public static void Write(Screen screen, Amplifier amplifier, ImmutableArray<Finding> findings)
    {
        var open = findings.Where(finding => finding.Accepted is null).ToArray();
        screen.Line(
            $"{Titles.Of(amplifier)}: {Figures.Count(open.Length, "finding")}",
            Ink.Heading
        );
        foreach (var finding in open)
        {
            screen.Line();
            screen.Line(
                finding.Where is { } where ? $"{where.File}:{where.Line}" : "the circuit",
                finding.Code.Severity == Severity.Error ? Ink.Alarm : Ink.Plain
            );
            screen.Paragraph(
                finding.Message,
                $"  {Word(finding.Code.Severity)} {finding.Code.Name}: ",
                "    "
            );
            screen.Paragraph(finding.Mend, "    mend: ");
        }
        var accepted = findings.Except(open).ToArray();
        if (accepted.Length > 0)
        {
            screen.Heading("Accepted in the sheet");
            foreach (var finding in accepted)
            {
                screen.Paragraph(
                    $"{finding.Code.Name} at {finding.At}: {finding.Accepted}",
                    "  ",
                    "    "
                );
            }
        }
    }

    /// <summary>What codes mean.</summary>
    public static void Explain(Screen screen, FindingCode[] codes)
    {
        foreach (var code in codes)
        {
            screen.Line($"{code.Name}: {code.Title} ({Word(code.Severity)})", Ink.Heading);
            screen.Paragraph(code.Explanation, "  ");
            screen.Paragraph(code.Mend, "  mend: ", "  ");
        }
    }

    private static string Word(Severity severity) => severity.ToString().ToLowerInvariant();
}

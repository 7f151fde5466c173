using System.CommandLine;
using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Diagnosis;
using NetAudit.Jobs;

namespace NetAudit.Cli.Commands;

/// <summary><c>netaudit jobs learning</c></summary>
internal static class JobLearningCommand
{
    public static Command Create(StandardStreams streams)
    {
        var verb = new Command(
            "learning",
            "Show what closed jobs teach about the causes in other units, or switch it on or off."
        );
        var turn = new Argument<string?>("STATE")
        {
            Description = "on or off; left out, it stays as it is.",
            Arity = ArgumentArity.ZeroOrOne,
        };
        turn.AcceptOnlyFromAmong("on", "off");
        verb.Add(turn);
        var input = new JobStoreInput(verb);
        verb.SetAction(parsed =>
        {
            using var store = input.Open(parsed, streams);
            if (store is null)
            {
                return ExitCodes.BadInput;
            }
            if (
                parsed.GetValue(turn) is { } wanted
                && store.Learning.Turn(wanted == "on") is { } problem
            )
            {
                return DiagnosticReport.Refuse(streams, input.IsJson(parsed), [problem]);
            }
            if (input.IsJson(parsed))
            {
                streams.Output.Write(ShopLearningJson.ToText(store.Learning) + "\n");
            }
            else
            {
                Write(Screen.For(streams), store.Learning);
            }
            return ExitCodes.NothingWrong;
        });
        return verb;
    }

    private static void Write(Screen screen, ShopLearning learning)
    {
        screen.Paragraph(
            learning.IsOn
                ? $"Closed jobs count toward the causes in other units of their model; the table of failure rates weighs as {ShopExperience.JobsOfTheTable:0} jobs."
                : "Switched off: only the table of failure rates counts."
        );
        var causes = learning.Causes();
        if (causes.IsEmpty)
        {
            screen.Paragraph("No closed job has a confirmed cause.");
            return;
        }
        var table = new TextTable(
            ("job", Side.Right),
            ("model", Side.Left),
            ("part", Side.Left),
            ("what was wrong", Side.Left),
            ("counts as", Side.Left)
        );
        foreach (var cause in causes)
        {
            table.Add(
                $"{cause.Job}",
                cause.Model,
                cause.Part,
                cause.Mode,
                cause.Class is { } known ? known.Describe() : "nothing"
            );
        }
        table.Write(screen, "  ");
    }
}

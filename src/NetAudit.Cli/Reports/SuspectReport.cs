using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Reports;

/// <summary>The suspects, most probable first, with the reason in words.</summary>
internal static class SuspectReport
{
    /// <summary>Suspects printed.</summary>
    private const int MostSuspects = 5;

    /// <summary>Less probable suspects are summed up in one line.</summary>
    public const double LeastProbability = 0.01;

    public static void Write(Screen screen, DiagnosisResult result)
    {
        if (result.Verdict == Verdict.WithinLimits || result.Suspects.IsEmpty)
        {
            return;
        }
        screen.Heading("Suspects");
        var printed = result
            .Suspects.Take(MostSuspects)
            .TakeWhile((suspect, i) => i == 0 || suspect.Probability >= LeastProbability)
            .ToArray();
        for (var i = 0; i < printed.Length; i++)
        {
            WriteSuspect(screen, result, printed[i], i + 1);
        }
        var rest = 1 - result.Healthy - printed.Sum(suspect => suspect.Probability);
        screen.Paragraph(
            $"All other suspects together {Figures.Probability(Math.Max(0, rest))}; a healthy unit {Figures.Probability(result.Healthy)}.",
            "  "
        );
        if (VerdictWords.Besides(result) is { } besides)
        {
            screen.Paragraph(besides, "  ");
        }
    }

    private static void WriteSuspect(
        Screen screen,
        DiagnosisResult result,
        Suspect suspect,
        int number
    )
    {
        // The stage is that of the first fault; the others may sit elsewhere.
        var stage =
            suspect.Stage.Length > 0 && suspect.Faults.Length == 1 ? $" [{suspect.Stage}]" : "";
        screen.Paragraph(
            $"{VerdictWords.Faults(suspect.Faults)}{stage}",
            $"  {number}. {Figures.Probability(suspect.Probability)}  ",
            ink: Ink.Heading
        );
        foreach (var sentence in SuspectReasons.Sentences(result, suspect))
        {
            screen.Paragraph(sentence, "     ");
        }
        foreach (var sentence in EquivalentWords.Sentences(suspect))
        {
            screen.Paragraph(sentence, "     ");
        }
        foreach (var sentence in OverloadWords.Sentences(suspect))
        {
            screen.Paragraph(sentence, "     ");
        }
    }
}

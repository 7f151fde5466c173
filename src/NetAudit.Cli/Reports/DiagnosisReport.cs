using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Reports;

/// <summary>The answer to a set of readings, for a person at a bench.</summary>
internal static class DiagnosisReport
{
    public static void Write(Screen screen, Amplifier amplifier, DiagnosisResult result)
    {
        screen.Line($"{Titles.Of(amplifier)}: {Counted(result)}", Ink.Heading);
        screen.Paragraph(
            VerdictWords.Sentence(result),
            ink: result.Verdict == Verdict.WithinLimits ? Ink.Plain : Ink.Alarm
        );
        DeviationReport.Write(screen, result);
        SuspectReport.Write(screen, result);
        WriteQuestionable(screen, result);
        NextReport.Write(screen, result);
        WriteNotes(screen, result);
        CautionReport.Write(screen, amplifier);
    }

    private static string Counted(DiagnosisResult result)
    {
        var readings = Figures.Count(result.Readings.Length, "reading");
        return result.Observed.IsEmpty
            ? readings
            : $"{readings}, {Figures.Count(result.Observed.Length, "observation")}";
    }

    private static void WriteQuestionable(Screen screen, DiagnosisResult result)
    {
        var sentences = SlipWords.Sentences(result).ToArray();
        if (sentences.Length == 0)
        {
            return;
        }
        screen.Heading("Readings to take again");
        foreach (var sentence in sentences)
        {
            screen.Paragraph(sentence, "  ", "    ");
        }
    }

    private static void WriteNotes(Screen screen, DiagnosisResult result)
    {
        if (result.Notes.IsEmpty)
        {
            return;
        }
        screen.Heading("Not weighed, or not known");
        foreach (var note in result.Notes)
        {
            screen.Paragraph(note, "  ", "    ");
        }
    }
}

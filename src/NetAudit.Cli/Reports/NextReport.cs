using System.Globalization;
using NetAudit.Cli.Terminals;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Reports;

/// <summary>The readings worth taking next, each with what it would tell and what to mind.</summary>
internal static class NextReport
{
    /// <summary>Readings printed.</summary>
    private const int MostPrinted = 3;

    public static void Write(Screen screen, DiagnosisResult result)
    {
        screen.Heading("What to measure next");
        if (result.Next.IsEmpty)
        {
            screen.Paragraph(NextWords.NothingMore, "  ");
            return;
        }
        for (var i = 0; i < Math.Min(MostPrinted, result.Next.Length); i++)
        {
            var next = result.Next[i];
            screen.Paragraph(Task(next), $"  {i + 1}. ", ink: Ink.Heading);
            screen.Paragraph(NextWords.Meaning(next), "     ");
            var isSame = i > 0 && next.Caution == result.Next[i - 1].Caution;
            screen.Paragraph(isSame ? "the same." : next.Caution, "     Mind: ", "     ");
        }
        screen.Paragraph(
            "Bits of what is unknown about the suspects that a reading is expected to tell; cost in effort and hazard, a low DC voltage is 1.",
            "  "
        );
    }

    /// <summary>What to do, with its gain and cost.</summary>
    public static string Task(NextReading next) =>
        $"{NextWords.Task(next)} ({Number(next.GainBits, "0.00")} bits, cost {Number(next.Cost, "0.0")})";

    private static string Number(double value, string format) =>
        value.ToString(format, CultureInfo.InvariantCulture);
}

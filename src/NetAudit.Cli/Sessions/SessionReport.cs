using NetAudit.Circuits;
using NetAudit.Cli.Reports;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Cli.Sessions;

/// <summary>What a session shows.</summary>
internal static class SessionReport
{
    /// <summary>Deviating readings and suspects shown after each reading.</summary>
    private const int MostShown = 3;

    /// <summary>What can be typed besides a reading.</summary>
    public static readonly string[] Words = ["help", "points", "quit", "report", "undo"];

    public static void WriteOpening(Screen screen, Amplifier amplifier, string path, int readings)
    {
        screen.Line(Titles.Of(amplifier), Ink.Heading);
        screen.Paragraph(
            readings == 0
                ? $"Readings go to {path}."
                : $"{path} holds {Figures.Count(readings, "reading")} already; more go to its end."
        );
        CautionReport.Write(screen, amplifier);
        screen.Line();
        WriteHelp(screen);
    }

    public static void WriteHelp(Screen screen) =>
        screen.Paragraph(
            "Type a point and its DC voltage against chassis: p1 182, or v1.6 310; between two points: k1 g1 1.2. Levels, resistances and "
                + "what is seen or heard: out 1.2 ac, R7 47k ohms @ off, V3 tap noisy, out listen weak; after @ comes the condition. Tab "
                + "completes names; Enter alone begins the reading proposed. undo takes the last reading back, report shows the whole "
                + "answer, points lists where a probe can go, quit ends."
        );

    public static void WritePoints(Screen screen, Amplifier amplifier)
    {
        foreach (var point in amplifier.Points)
        {
            screen.Paragraph(string.Join(", ", point.Aliases.Prepend(point.Name)), "  ", "      ");
        }
    }

    public static void WriteRefusal(Screen screen, IReadOnlyList<Diagnostic> diagnostics)
    {
        foreach (var diagnostic in diagnostics)
        {
            screen.Paragraph(diagnostic.Message, "Not taken: ", "  ");
            if (diagnostic.Mend is { } mend)
            {
                screen.Paragraph(mend, "  ");
            }
        }
    }

    public static void WriteAnswer(Screen screen, DiagnosisResult result, Reading? last)
    {
        if (last is null)
        {
            screen.Paragraph("No reading yet; by the complaint alone:", "  ");
        }
        else if (
            result.Readings.FirstOrDefault(state => ReferenceEquals(state.Reading, last)) is
            { } state
        )
        {
            WriteReading(screen, state);
        }
        else
        {
            WriteUnmeasured(screen, result, last);
        }
        if (result.IsEmpty)
        {
            return;
        }
        WriteDeviating(screen, result);
        if (result.Verdict == Verdict.WithinLimits)
        {
            screen.Paragraph(
                $"Plausible for a healthy unit so far ({Figures.Probability(result.Healthy)}).",
                "  "
            );
            WriteNext(screen, result);
            return;
        }
        foreach (var suspect in result.Suspects.Take(MostShown).Where(IsWorthNaming))
        {
            screen.Paragraph(
                VerdictWords.Faults(suspect.Faults),
                $"  suspect {Figures.Probability(suspect.Probability), 9}  ",
                "      "
            );
        }
        foreach (var sentence in SlipWords.Sentences(result))
        {
            screen.Paragraph($"Take again: {sentence}", "  ", "    ");
        }
        if (result.Verdict == Verdict.Unexplained)
        {
            screen.Paragraph("No suspect explains all of it.", "  ", ink: Ink.Alarm);
        }
        WriteNext(screen, result);
    }

    private static void WriteNext(Screen screen, DiagnosisResult result)
    {
        if (result.Next is not [var next, ..])
        {
            screen.Paragraph(NextWords.NothingMore, "  ", "    ");
            return;
        }
        screen.Paragraph($"{NextReport.Task(next)}. {NextWords.Meaning(next)}", "  next: ", "    ");
        screen.Paragraph(next.Caution, "    mind: ", "    ");
    }

    // An observation at a part weighs on the faults, not on a value; what was left out is said with its reason.
    private static void WriteUnmeasured(Screen screen, DiagnosisResult result, Reading last)
    {
        var place = ReadingWords.Place(last);
        var left = result.LeftOut.FirstOrDefault(left => ReferenceEquals(left.Reading, last));
        screen.Paragraph(
            left is null
                ? $"{place} {last.Word}: noted."
                : $"{place} is kept in the file and left out: {left.Reason}.",
            "  ",
            "    "
        );
    }

    private static bool IsWorthNaming(Suspect suspect, int rank) =>
        rank == 0 || suspect.Probability >= SuspectReport.LeastProbability;

    private static void WriteReading(Screen screen, ReadingState state)
    {
        var side =
            !DeviationReport.Deviates(state) ? "within limits"
            : state.Deviation < 0 ? $"low by {Distance(state)}"
            : $"high by {Distance(state)}";
        screen.Paragraph(
            $"{state.Place()} {state.Measured()}: {side}; expected {state.Limits()}.",
            "  ",
            "    "
        );
    }

    private static string Distance(ReadingState state) =>
        $"{Figures.Deviation(Math.Abs(state.Deviation))[1..]} standard deviations";

    private static void WriteDeviating(Screen screen, DiagnosisResult result)
    {
        var deviating = result
            .Readings.Where(DeviationReport.Deviates)
            .OrderByDescending(state => Math.Abs(state.GivenOthers))
            .ToArray();
        if (deviating.Length < 2)
        {
            return;
        }
        var named = string.Join(
            ", ",
            deviating.Take(MostShown).Select(s => $"{s.Place()} {Figures.Deviation(s.Deviation)}")
        );
        var more = deviating.Length > MostShown ? $" and {deviating.Length - MostShown} more" : "";
        screen.Paragraph($"Deviating: {named}{more}.", "  ", "    ");
    }
}

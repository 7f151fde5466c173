using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Cli.Reports;

/// <summary>Which readings deviate, and where the disagreement starts.</summary>
internal static class DeviationReport
{
    /// <summary>95 % of healthy readings lie within this many standard deviations.</summary>
    private const double Limits = 1.96;

    /// <summary>A reading contradicts the others when it lies further than this from what they say.</summary>
    private const double Contradiction = 3;

    /// <summary>Rows printed before the rest is summed up.</summary>
    private const int MostRows = 12;

    public static void Write(Screen screen, DiagnosisResult result)
    {
        if (result.Readings.IsEmpty)
        {
            return;
        }
        var start = result.Readings.MaxBy(state => Math.Abs(state.GivenOthers));
        var deviating = result
            .Readings.Where(state => Deviates(state) || (state == start && Contradicts(state)))
            .OrderByDescending(state => Math.Abs(state.GivenOthers))
            .ToArray();
        if (deviating.Length == 0)
        {
            screen.Paragraph("Every reading is within its limits.");
            return;
        }
        screen.Heading("What deviates");
        var table = new TextTable(
            ("at", Side.Left),
            ("measured", Side.Right),
            ("expected", Side.Right),
            ("low", Side.Right),
            ("high", Side.Right),
            ("deviation", Side.Right),
            ("given others", Side.Right)
        );
        var ofOneKind = deviating.All(state => state.Reading.Kind == ReadingKind.Dc);
        foreach (var state in deviating.Take(MostRows))
        {
            string Cell(double value) => ofOneKind ? state.Bare(value) : state.Shown(value);
            table.Add(
                state.Place(),
                state.Reading.Word ?? Cell(state.Reading.Value),
                Cell(state.Expected),
                Cell(state.Low),
                Cell(state.High),
                Figures.Deviation(state.Deviation),
                Figures.Deviation(state.GivenOthers)
            );
        }
        table.Write(screen, "  ");
        Summary(screen, result, deviating, ofOneKind);
    }

    /// <summary>True for a reading out of its limits.</summary>
    public static bool Deviates(ReadingState state) => Math.Abs(state.Deviation) > Limits;

    // Where a reading disagrees with the others it is named even when it lies within its own limits.
    private static bool Contradicts(ReadingState state) =>
        Math.Abs(state.GivenOthers) > Contradiction;

    private static void Summary(
        Screen screen,
        DiagnosisResult result,
        ReadingState[] deviating,
        bool inVolts
    )
    {
        var within = result.Readings.Count(state => !Deviates(state));
        var more =
            deviating.Length > MostRows ? $"{deviating.Length - MostRows} more deviate; " : "";
        screen.Paragraph(
            $"{(inVolts ? "Volts; deviations" : "Deviations")} in standard deviations of healthy units. {more}{Figures.Count(within, "reading")} within limits.",
            "  "
        );
        var start = deviating[0];
        if (result.Verdict != Verdict.WithinLimits && Contradicts(start))
        {
            screen.Paragraph(
                $"The disagreement starts at {start.Place()}: in a healthy unit, going by all other readings, it would be "
                    + $"{Distance(start.GivenOthers)}. What merely follows from it stands lower in the last column.",
                "  "
            );
        }
    }

    private static string Distance(double givenOthers) =>
        $"{Figures.Deviation(Math.Abs(givenOthers))[1..]} standard deviations {(givenOthers > 0 ? "lower" : "higher")}";
}

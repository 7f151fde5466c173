using System.Globalization;
using NetAudit.Audits.Calibrations;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Reports;

/// <summary>What moved in a calibration, by how much, and what that says of the unit.</summary>
internal static class CalibrationReport
{
    private const int MostRows = 12;
    private const int MostSuspicious = 5;

    public static void Write(Screen screen, Amplifier amplifier, CalibrationResult result)
    {
        screen.Line(
            $"{Titles.Of(amplifier)}: fitted to {Figures.Count(result.Readings.Length, "reading")}",
            Ink.Heading
        );
        WriteVerdict(screen, result);
        screen.Heading("What moved");
        var table = new TextTable(
            ("what", Side.Left),
            ("to", Side.Right),
            ("moved", Side.Right),
            ("spread left", Side.Right),
            ("", Side.Left)
        );
        foreach (var term in result.Terms.Take(MostRows))
        {
            table.Add(
                term.Name,
                To(term),
                Figures.Deviation(term.Moved) + " sigma",
                string.Create(CultureInfo.InvariantCulture, $"{100 * term.Left:0} %"),
                term.IsCarried ? "" : "of that day, not carried over"
            );
        }
        table.Write(screen, "  ");
        var rest = result.Terms.Skip(MostRows).Select(term => Math.Abs(term.Moved)).ToArray();
        screen.Paragraph(
            "Sigma: standard deviations of healthy units; spread left: what these readings leave of the spread of this unit."
                + (
                    rest.Length == 0
                        ? ""
                        : $" {rest.Length} more moved by {Figures.Deviation(rest.Max())[1..]} sigma or less."
                ),
            "  "
        );
        WriteReadings(screen, result);
        foreach (var note in result.Notes)
        {
            screen.Paragraph(note, "  ", "    ");
        }
    }

    private static void WriteVerdict(Screen screen, CalibrationResult result)
    {
        if (result.IsSound)
        {
            screen.Paragraph(
                $"The readings are those of a healthy unit: {Figures.Probability(result.Consistency)} of healthy units read as far off or further."
            );
            return;
        }
        screen.Paragraph(
            "No calibration is made: this is hardly a healthy unit, and its fault would pass for normal from then on.",
            ink: Ink.Alarm
        );
        if (result.Suspect is { } suspect)
        {
            screen.Paragraph(
                $"Likely {VerdictWords.Faults(suspect.Faults)} ({Figures.Probability(suspect.Probability)}).",
                "  "
            );
        }
        foreach (var term in result.Suspicious.Take(MostSuspicious))
        {
            screen.Paragraph(
                $"{term.Name} would have to lie {Figures.Deviation(term.Moved)} standard deviations off ({To(term)}): likely a fault, or a neighbour's.",
                "  "
            );
        }
        if (result.Consistency < CalibrationResult.LeastConsistency)
        {
            var worst = result.Readings.MaxBy(reading => Math.Abs(reading.GivenOthers))!;
            screen.Paragraph(
                $"No healthy unit gives these readings together; {worst.At} disagrees most, by {Figures.Deviation(worst.GivenOthers)} standard deviations from what the others say.",
                "  "
            );
        }
    }

    private static void WriteReadings(Screen screen, CalibrationResult result)
    {
        screen.Heading("Readings that the calibration brings closer");
        var table = new TextTable(
            ("at", Side.Left),
            ("measured", Side.Right),
            ("before", Side.Right),
            ("after", Side.Right)
        );
        foreach (
            var reading in result
                .Readings.OrderByDescending(reading => Math.Abs(reading.After - reading.Before))
                .Take(MostRows)
        )
        {
            table.Add(
                reading.At,
                MeterText.Volts(reading.Measured),
                MeterText.Volts(reading.Before),
                MeterText.Volts(reading.After)
            );
        }
        table.Write(screen, "  ");
    }

    private static string To(MovedTerm term) =>
        term.Offset != 0
            ? EngineeringNotation.Format(term.Offset, "V", 3)
            : string.Create(
                CultureInfo.InvariantCulture,
                $"{100 * (term.Factor - 1):+0.0;-0.0;0.0} %"
            );
}

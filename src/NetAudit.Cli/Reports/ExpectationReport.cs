using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Cli.Reports;

/// <summary>The expected readings as a table by stage.</summary>
internal static class ExpectationReport
{
    public static void Write(Screen screen, Amplifier amplifier, Expectation expectation)
    {
        screen.Line(Titles.Of(amplifier), Ink.Heading);
        screen.Paragraph(
            "Volts DC against chassis of a healthy unit, powered normally, the meter's load included; 95 in 100 healthy units read from low to high."
        );
        foreach (var (stage, readings) in StagePoints.Group(amplifier, expectation.Readings))
        {
            screen.Heading(stage);
            var table = new TextTable(
                ("point", Side.Left),
                ("place", Side.Left),
                ("expected", Side.Right),
                ("low", Side.Right),
                ("high", Side.Right),
                ("unit", Side.Left)
            );
            foreach (var reading in readings)
            {
                table.Add(
                    reading.Point.ShortName(amplifier),
                    Place(amplifier, reading.Point),
                    MeterText.Volts(reading.Mean).PadLeft(8),
                    MeterText.Volts(reading.Low).PadLeft(8),
                    MeterText.Volts(reading.High).PadLeft(8),
                    "V"
                );
            }
            table.Write(screen, "  ");
        }
        CautionReport.Write(screen, amplifier);
    }

    private static string Place(Amplifier amplifier, Point point) =>
        point.Name == point.ShortName(amplifier) ? "" : point.Name;
}

using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Expectations;

namespace NetAudit.Cli.Reports;

/// <summary>The expected readings as a table by stage.</summary>
internal static class ExpectationReport
{
    public static void Write(
        Screen screen,
        Amplifier amplifier,
        Expectation expectation,
        ReadingKind kind,
        Condition condition
    )
    {
        screen.Line(Titles.Of(amplifier), Ink.Heading);
        screen.Paragraph(
            $"{Opening(amplifier, kind, condition)}; 95 in 100 healthy units read from low to high.{Closing(kind)}"
        );
        foreach (var (stage, readings) in StagePoints.Group(amplifier, expectation.Readings))
        {
            screen.Heading(stage);
            var table = new TextTable(
                (kind == ReadingKind.Ohms ? "across, or at" : "point", Side.Left),
                ("place", Side.Left),
                ("expected", Side.Right),
                ("low", Side.Right),
                ("high", Side.Right),
                ("unit", Side.Left)
            );
            foreach (var reading in readings)
            {
                table.Add(
                    reading.At(amplifier),
                    Place(amplifier, reading),
                    ReadingWords.Bare(kind, reading.Mean).PadLeft(8)
                        + ClippingReport.Mark(expectation.Driven, reading.Point.Node),
                    ReadingWords.Bare(kind, reading.Low).PadLeft(8),
                    ReadingWords.Bare(kind, reading.High).PadLeft(8),
                    kind == ReadingKind.Dc ? "V" : ""
                );
            }
            table.Write(screen, "  ");
        }
        if (kind == ReadingKind.Ac && !IsRipple(amplifier, condition))
        {
            ClippingReport.Write(screen, amplifier, expectation.Driven);
        }
        CautionReport.Write(screen, amplifier);
    }

    // Without a signal what alternates is ripple.
    private static bool IsRipple(Amplifier amplifier, Condition condition) =>
        (
            condition.Terms.OfType<SignalLevel>().FirstOrDefault()?.Volts
            ?? amplifier.Sheet.Signal?.Level
            ?? 0
        ) == 0;

    private static string Opening(Amplifier amplifier, ReadingKind kind, Condition condition)
    {
        var rest = Condition.Of(condition.Terms.Where(term => term is not PowerOff));
        var power = kind == ReadingKind.Ohms ? "with the power off" : "powered normally";
        var state =
            rest == Condition.Normal ? power
            : kind == ReadingKind.Ohms ? $"{power}, {rest}"
            : $"in the condition {rest}";
        return kind switch
        {
            ReadingKind.Ohms =>
                $"Ohms of a healthy unit {state}, capacitors discharged, each part as it sits in the circuit with all that lies beside it",
            ReadingKind.Ac =>
                $"Volts RMS of the {(IsRipple(amplifier, condition) ? "mains' ripple" : "test signal")} against chassis of a healthy unit, {state}, the meter's load included",
            _ => $"Volts DC against chassis of a healthy unit, {state}, the meter's load included",
        };
    }

    private static string Closing(ReadingKind kind) =>
        kind switch
        {
            ReadingKind.Ohms => $" {ReadingWords.OverRange} is over-range.",
            _ => "",
        };

    private static string Place(Amplifier amplifier, ExpectedReading reading)
    {
        if (reading.Across is null)
        {
            return reading.Point.Name == reading.At(amplifier) ? "" : reading.Point.Name;
        }
        var other =
            reading.RefNode == 0 ? "chassis" : amplifier.Circuit.Nodes[reading.RefNode].Name;
        return $"{reading.Point.ShortName(amplifier)} to {other}";
    }
}

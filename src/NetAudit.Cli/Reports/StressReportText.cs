using System.Globalization;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>Stresses as a table, worst first, with bars.</summary>
internal static class StressReportText
{
    private const int MostLines = 24;

    public static void Write(Screen screen, Amplifier amplifier, StressReport report, bool all)
    {
        screen.Line(Titles.Of(amplifier), Ink.Heading);
        screen.Paragraph(
            $"What each part endures at the worst of {Figures.Listed(report.Conditions)}; the stroke is the limit of the sheet or the data sheet, what is past it is too much."
        );
        if (report.Drive is { } drive)
        {
            screen.Paragraph(Clipping(drive));
        }
        screen.Line();
        WriteLines(screen, report, all);
        WriteUnrated(screen, report);
        WriteBias(screen, report);
        WriteFuses(screen, report);
        foreach (var note in report.Notes)
        {
            screen.Paragraph(note, "note: ");
        }
        CautionReport.Write(screen, amplifier);
    }

    private static string Clipping(StressDrive drive)
    {
        var watts = drive.Watts is { } power
            ? $", {EngineeringNotation.Format(power, "W", 3)} in the load"
            : "";
        return $"Clipping begins at {EngineeringNotation.Format(drive.Volts, "V", 3)} of {EngineeringNotation.Format(drive.Frequency, "Hz")} from {drive.Source}{watts}.";
    }

    private static void WriteLines(Screen screen, StressReport report, bool all)
    {
        var table = new TextTable(
            ("part", Side.Left),
            ("what", Side.Left),
            ("when", Side.Left),
            ("value", Side.Right),
            ("limit", Side.Right),
            ("", Side.Right),
            ("", Side.Left)
        );
        var shown = all ? report.Lines : [.. report.Lines.Take(MostLines)];
        foreach (var line in shown)
        {
            var unit = line.Item.Kind.Unit();
            table.Add(
                line.Item.Part,
                line.Item.Kind.Describe(),
                line.Item.Kind == StressKind.GridLeak ? "" : report.Conditions[line.WorstCondition],
                EngineeringNotation.Format(line.Worst, unit, 3),
                EngineeringNotation.Format(line.Item.Limit!.Value, unit, 3),
                Percent(line.Ratio!.Value),
                MarginBar.Of(line.Ratio.Value)
            );
        }
        table.Write(screen, "  ");
        if (shown.Length < report.Lines.Length)
        {
            var rest = report.Lines.Length - shown.Length;
            screen.Line(
                $"  {Figures.Count(rest, "more line")}, all below {Percent(report.Lines[shown.Length].Ratio!.Value)}; --all shows them."
            );
        }
    }

    private static void WriteUnrated(Screen screen, StressReport report)
    {
        if (report.Unrated.IsEmpty)
        {
            return;
        }
        screen.Heading("Unrated: no limit is known, so nothing is said of these");
        foreach (var group in report.Unrated.GroupBy(line => line.Item.Kind.Describe()))
        {
            screen.Paragraph(
                string.Join(", ", group.Select(line => line.Item.Part)),
                $"  {group.Key}: ",
                "    "
            );
        }
    }

    private static void WriteBias(Screen screen, StressReport report)
    {
        if (report.Bias.IsEmpty)
        {
            return;
        }
        screen.Heading("Idle dissipation of output tubes with fixed bias");
        foreach (var bias in report.Bias)
        {
            var range = bias.Control is null
                ? "no control of the sheet moves it"
                : $"{bias.Control} moves it from {Percent(bias.Least / bias.Limit)} to {Percent(bias.Most / bias.Limit)}";
            screen.Paragraph(
                $"{EngineeringNotation.Format(bias.Idle, "W", 3)} of {EngineeringNotation.Format(bias.Limit, "W", 3)}, {Percent(bias.Idle / bias.Limit)}; {range}.",
                $"  {bias.Part}: "
            );
        }
    }

    private static void WriteFuses(Screen screen, StressReport report)
    {
        if (report.Fuses.IsEmpty)
        {
            return;
        }
        screen.Heading("Fuses");
        foreach (var fuse in report.Fuses.GroupBy(fuse => (fuse.Fuse, fuse.Rated, fuse.Speed)))
        {
            var rating = fuse.Key.Rated is { } rated
                ? $"{EngineeringNotation.Format(rated, "A")} {fuse.Key.Speed}".TrimEnd()
                : "no rating";
            screen.Line($"  {fuse.Key.Fuse}, {rating}");
            foreach (var event_ in fuse)
            {
                screen.Paragraph(Event(event_), $"    {event_.Event}: ", "      ");
            }
        }
    }

    private static string Event(FuseEvent fuse)
    {
        if (!double.IsFinite(fuse.Amps))
        {
            return "unknown, the circuit does not settle.";
        }
        var amps = EngineeringNotation.Format(fuse.Amps, "A", 3);
        return fuse.Rated is { } rated
            ? $"{amps}, {(fuse.Amps / rated).ToString("0.0#", CultureInfo.InvariantCulture)} times its rating: {FuseWords.Of(fuse.Opening)}."
            : $"{amps}.";
    }

    private static string Percent(double ratio) =>
        (100 * ratio).ToString("0", CultureInfo.InvariantCulture) + " %";
}

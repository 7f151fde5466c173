using System.Collections.Immutable;
using NetAudit.Audits.Services;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>The service list as tables.</summary>
internal static class ServiceReport
{
    public static void Write(
        Screen screen,
        Amplifier amplifier,
        ImmutableArray<ServiceItem> items,
        double? years
    )
    {
        screen.Line($"{Titles.Of(amplifier)}: service list", Ink.Heading);
        if (years is null)
        {
            screen.Paragraph(
                "The sheet gives no year of build: --age YEARS marks what is renewed for its age."
            );
        }
        WriteParts(screen, items, ServiceReason.Electrolytic, "Electrolytics", "V");
        WriteParts(
            screen,
            items,
            ServiceReason.RunsHot,
            "Resistors above 60 % of their rating",
            "W"
        );
        WriteNotes(
            screen,
            items,
            ServiceReason.Exposed,
            "Parts that other faults overload: look at them when those are found"
        );
        WriteNotes(screen, items, ServiceReason.Fuse, "Fuses");
        CautionReport.Write(screen, amplifier);
    }

    private static void WriteParts(
        Screen screen,
        ImmutableArray<ServiceItem> items,
        ServiceReason reason,
        string title,
        string unit
    )
    {
        var listed = items.Where(item => item.Reason == reason).ToArray();
        if (listed.Length == 0)
        {
            return;
        }
        screen.Heading(title);
        var table = new TextTable(
            ("part", Side.Left),
            ("rating", Side.Right),
            ("worst", Side.Right),
            ("fit", Side.Left),
            ("", Side.Left)
        );
        foreach (var item in listed)
        {
            table.Add(
                item.Part,
                item.Rating is { } rating ? EngineeringNotation.Format(rating, unit, 3) : "unrated",
                EngineeringNotation.Format(item.Worst!.Value, unit, 3),
                item.Fit,
                item.Note
            );
        }
        table.Write(screen, "  ");
    }

    private static void WriteNotes(
        Screen screen,
        ImmutableArray<ServiceItem> items,
        ServiceReason reason,
        string title
    )
    {
        var listed = items.Where(item => item.Reason == reason).ToArray();
        if (listed.Length == 0)
        {
            return;
        }
        screen.Heading(title);
        foreach (var item in listed)
        {
            var fit = item.Fit.Length > 0 ? $"{item.Fit} ({item.Note})" : item.Note;
            screen.Paragraph(fit, $"  {item.Part}: ", "    ");
        }
    }
}

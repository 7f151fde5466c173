using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations.LargeSignal;

namespace NetAudit.Cli.Reports;

/// <summary>Switch-on surges, cold and warm side by side.</summary>
internal static class SurgeReport
{
    public static void Write(
        Screen screen,
        Amplifier amplifier,
        ImmutableArray<SwitchOnSurge> surges
    )
    {
        screen.Line(amplifier.Circuit.Title, Ink.Heading);
        screen.Paragraph(
            "Supplies switched on with every capacitor empty. A DC source stands for transformer and rectifier, so its first current is an upper bound."
        );
        foreach (var surge in surges)
        {
            screen.Heading(surge.ColdTubes ? "With cold tubes" : "With warm tubes");
            if (!surge.Settled)
            {
                screen.Paragraph(
                    $"Not at rest after {EngineeringNotation.Format(surge.Seconds, "s", 3)}: later peaks are not in the table."
                );
            }
            WriteRails(screen, amplifier, surge);
            WriteSources(screen, amplifier, surge);
        }
        CautionReport.Write(screen, amplifier);
    }

    private static void WriteRails(Screen screen, Amplifier amplifier, SwitchOnSurge surge)
    {
        var table = new TextTable(
            ("rail", Side.Left),
            ("peak", Side.Right),
            ("after", Side.Right),
            ("at rest", Side.Right),
            ("over", Side.Right)
        );
        foreach (var rail in surge.Rails)
        {
            var over = rail.PeakVolts / rail.FinalVolts - 1;
            table.Add(
                amplifier.Circuit.Nodes[rail.Node].Name,
                MeterText.Volts(rail.PeakVolts) + " V",
                // A rail that only rises peaks where one stops looking.
                over > 0.002
                    ? EngineeringNotation.Format(rail.PeakTime, "s", 2)
                    : "",
                MeterText.Volts(rail.FinalVolts) + " V",
                over > 0.002
                    ? (100 * over).ToString("0.0", CultureInfo.InvariantCulture) + " %"
                    : ""
            );
        }
        table.Write(screen, "  ");
    }

    private static void WriteSources(Screen screen, Amplifier amplifier, SwitchOnSurge surge)
    {
        screen.Line();
        var table = new TextTable(
            ("source", Side.Left),
            ("peak", Side.Right),
            ("after", Side.Right),
            ("at rest", Side.Right)
        );
        foreach (var source in surge.Sources)
        {
            table.Add(
                amplifier.Circuit.Elements[source.Element].Name,
                EngineeringNotation.Format(source.PeakAmps, "A", 3),
                EngineeringNotation.Format(source.PeakTime, "s", 2),
                EngineeringNotation.Format(source.FinalAmps, "A", 3)
            );
        }
        table.Write(screen, "  ");
    }
}

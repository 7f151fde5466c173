using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations.LargeSignal;

namespace NetAudit.Cli.Reports;

/// <summary>A drive sweep as tables, the onset of clipping in words.</summary>
internal static class DriveReport
{
    private const string Unsettled = "not settled";

    public static void Write(Screen screen, Amplifier amplifier, DriveSweep sweep)
    {
        var setup = sweep.Setup!;
        var elements = amplifier.Circuit.Elements;
        screen.Line(amplifier.Circuit.Title, Ink.Heading);
        var into = setup.Load >= 0 ? $", into {LoadText(elements[setup.Load])}" : "";
        screen.Paragraph(
            $"A sine of {EngineeringNotation.Format(setup.Frequency, "Hz")} from {elements[setup.Source].Name}{into}. Levels are RMS volts."
        );
        screen.Line();
        WriteLevels(screen, sweep);
        screen.Heading("Clipping");
        WriteClipping(screen, sweep);
        var point = sweep.Clipping?.Point ?? sweep.Points[^1];
        if (point.Path.Length > 0)
        {
            screen.Heading(
                $"Along the signal path at {EngineeringNotation.Format(point.Drive, "V", 3)}"
            );
            WritePath(screen, amplifier, setup, sweep.Points[0], point);
        }
        WriteCautions(screen, amplifier, sweep);
    }

    private static string LoadText(Element load) =>
        $"{load.Name} ({EngineeringNotation.Format(((Resistor)load).Ohms, "Ω")})";

    private static void WriteLevels(Screen screen, DriveSweep sweep)
    {
        var table = new TextTable(
            ("drive", Side.Left),
            ("load", Side.Right),
            ("gain", Side.Right),
            ("power", Side.Right),
            ("distortion", Side.Right),
            ("2nd", Side.Right),
            ("3rd", Side.Right),
            ("", Side.Left)
        );
        foreach (var point in sweep.Points)
        {
            var drive = EngineeringNotation.Format(point.Drive, "V", 3);
            if (point.Load is not { } load)
            {
                table.Add(drive, "", "", "", "", "", "", "could not be followed");
                continue;
            }
            table.Add(
                drive,
                EngineeringNotation.Format(load.Fundamental, "V", 3),
                Decibels(point.Gain),
                point.Watts is { } watts ? EngineeringNotation.Format(watts, "W", 3) : "",
                Share(load.Distortion),
                Share(load.Harmonics[0] / load.Fundamental),
                Share(load.Harmonics[1] / load.Fundamental),
                point.Settled ? "" : Unsettled
            );
        }
        table.Write(screen, "  ");
    }

    private static void WriteClipping(Screen screen, DriveSweep sweep)
    {
        if (sweep.Clipping is not { } clipping)
        {
            screen.Paragraph(
                $"Not within these levels. It counts from {Share(DriveLimits.ClippingDistortion)} distortion, or a gain down by 1 dB, on."
            );
            return;
        }
        var point = clipping.Point;
        var power = point.Watts is { } watts
            ? $"{EngineeringNotation.Format(watts, "W", 3)} in the load"
            : $"{EngineeringNotation.Format(point.Load!.Fundamental, "V", 3)} at the output";
        var sign =
            clipping.Sign == ClippingSign.Distortion
                ? "distortion reaches 5 %"
                : "the gain is down by 1 dB";
        screen.Paragraph(
            $"Begins at {EngineeringNotation.Format(point.Drive, "V", 3)} of drive with {power}: {sign} "
                + $"(distortion {Share(point.Load!.Distortion)}). Gain is lost in: {sweep.Setup!.Path[clipping.Place].Name}."
        );
    }

    private static void WritePath(
        Screen screen,
        Amplifier amplifier,
        DriveSetup setup,
        DrivePoint lowest,
        DrivePoint point
    )
    {
        var table = new TextTable(
            ("place", Side.Left),
            ("node", Side.Left),
            ("level", Side.Right),
            ("from drive", Side.Right),
            ("lost", Side.Right),
            ("distortion", Side.Right),
            ("mean", Side.Right)
        );
        for (var i = 0; i < setup.Path.Length; i++)
        {
            var level = point.Path[i];
            var gain = level.Fundamental / point.Drive;
            var lost =
                lowest.Path.Length > 0 ? lowest.Path[i].Fundamental / lowest.Drive / gain : 1;
            table.Add(
                setup.Path[i].Name,
                amplifier.Circuit.Nodes[setup.Path[i].Node].Name,
                EngineeringNotation.Format(level.Fundamental, "V", 3),
                Decibels(gain),
                Decibels(lost),
                Share(level.Distortion),
                MeterText.Volts(level.Mean) + " V"
            );
        }
        table.Write(screen, "  ");
    }

    private static void WriteCautions(Screen screen, Amplifier amplifier, DriveSweep sweep)
    {
        var most = sweep.Points.Max(point => point.Watts ?? 0);
        if (sweep.Setup!.Load >= 0 && most > 0.5)
        {
            screen.Line();
            screen.Paragraph(
                $"On the bench, drive it into a dummy load of {LoadText(amplifier.Circuit.Elements[sweep.Setup.Load])} that bears "
                    + $"{EngineeringNotation.Format(2 * most, "W", 2)}, never into an open output: a tube output stage without its load destroys its "
                    + "transformer and sockets. The load gets hot, and its terminals carry the output's voltage.",
                ink: Ink.Alarm
            );
        }
        CautionReport.Write(screen, amplifier);
    }

    private static string Decibels(double ratio) =>
        ratio > 0
            ? (20 * Math.Log10(ratio)).ToString("0.0;-0.0;0.0", CultureInfo.InvariantCulture)
                + " dB"
            : "";

    private static string Share(double share) =>
        (100 * share).ToString(share < 0.0995 ? "0.00" : "0.0", CultureInfo.InvariantCulture)
        + " %";
}

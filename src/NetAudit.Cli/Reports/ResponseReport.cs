using System.Globalization;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Expectations.Levels;

namespace NetAudit.Cli.Reports;

/// <summary>A frequency response as a table.</summary>
internal static class ResponseReport
{
    public static void Write(
        Screen screen,
        Amplifier amplifier,
        Condition condition,
        FrequencyResponse response
    )
    {
        var nodes = amplifier.Circuit.Nodes;
        screen.Line(Titles.Of(amplifier), Ink.Heading);
        screen.Paragraph(
            $"From {nodes[response.From].Name} to {nodes[response.To].Name}{LevelReport.In(condition)}, small signals. Gain at {EngineeringNotation.Format(response.Reference.Frequency, "Hz")}: {EngineeringNotation.Format(Complex.Abs(response.Reference.Gain), digits: 4)} ({LevelReport.Decibels(response.Reference.Decibels)} dB)."
        );
        screen.Paragraph(
            $"3 dB less at {Corner(response.Low, "no frequency down to 1 Hz")} and at {Corner(response.High, "none up to 1 MHz")}."
        );
        screen.Line();
        var table = new TextTable(
            ("frequency", Side.Left),
            ("gain", Side.Right),
            ("dB", Side.Right),
            ("against reference", Side.Right),
            ("phase", Side.Right)
        );
        foreach (var point in response.Points)
        {
            table.Add(
                EngineeringNotation.Format(point.Frequency, "Hz", 3),
                EngineeringNotation.Format(Complex.Abs(point.Gain), digits: 4),
                LevelReport.Decibels(point.Decibels),
                (point.Decibels - response.Reference.Decibels).ToString(
                    "+0.0;-0.0;0.0",
                    CultureInfo.InvariantCulture
                ),
                point.Phase.ToString("0°", CultureInfo.InvariantCulture)
            );
        }
        table.Write(screen, "  ");
    }

    private static string Corner(double? frequency, string otherwise) =>
        frequency is { } hertz ? EngineeringNotation.Format(hertz, "Hz", 3) : otherwise;
}

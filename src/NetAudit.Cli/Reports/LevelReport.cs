using System.Globalization;
using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Expectations.Levels;

namespace NetAudit.Cli.Reports;

/// <summary>The test signal through the amplifier: points by stage, then what each stage does with it.</summary>
internal static class LevelReport
{
    // Beyond this it is leakage that is counted, not a part.
    private const double MostOhms = 1e10;

    public static void Write(
        Screen screen,
        Amplifier amplifier,
        Condition condition,
        SignalLevels levels
    )
    {
        screen.Line(Titles.Of(amplifier), Ink.Heading);
        screen.Paragraph(
            $"{EngineeringNotation.Format(levels.Volts, "V")} RMS from {levels.Source} at {EngineeringNotation.Format(levels.Frequency, "Hz")}{In(condition)}: volts RMS of a healthy unit as the meter shows them, and decibels against the source, as long as nothing clips."
        );
        foreach (var stage in amplifier.Stages.Where(stage => !stage.IsSupply))
        {
            WritePoints(
                screen,
                amplifier,
                levels,
                stage.Name,
                level => stage.Nodes.Contains(level.Point.Node)
            );
        }
        WritePoints(
            screen,
            amplifier,
            levels,
            "Supplies and elsewhere",
            level => amplifier.StageOfNode(level.Point.Node) is null or { IsSupply: true }
        );
        WriteStages(screen, amplifier, levels);
        ClippingReport.Write(screen, amplifier, levels.Driven);
        WriteEnds(screen, levels);
        CautionReport.Write(screen, amplifier);
    }

    public static string In(Condition condition) =>
        condition.Text.Length == 0 ? "" : $", {condition.Text}";

    public static string Decibels(double value) =>
        double.IsFinite(value) ? value.ToString("0.0;-0.0;0.0", CultureInfo.InvariantCulture) : "-";

    private static void WritePoints(
        Screen screen,
        Amplifier amplifier,
        SignalLevels levels,
        string heading,
        Func<PointLevel, bool> belongs
    )
    {
        var chosen = levels.Points.Where(belongs).ToArray();
        if (chosen.Length == 0)
        {
            return;
        }
        screen.Heading(heading);
        var table = new TextTable(
            ("point", Side.Left),
            ("place", Side.Left),
            ("level", Side.Right),
            ("dB", Side.Right)
        );
        foreach (var level in chosen)
        {
            var name = level.Point.ShortName(amplifier);
            table.Add(
                name,
                level.Point.Name == name ? "" : level.Point.Name,
                EngineeringNotation.Format(level.Volts, "V", 3)
                    + ClippingReport.Mark(levels.Driven, level.Point.Node),
                Decibels(20 * Math.Log10(level.Volts / levels.Volts))
            );
        }
        table.Write(screen, "  ");
    }

    private static void WriteStages(Screen screen, Amplifier amplifier, SignalLevels levels)
    {
        if (levels.Stages.IsEmpty)
        {
            return;
        }
        screen.Heading("Stages");
        var table = new TextTable(
            ("stage", Side.Left),
            ("from", Side.Left),
            ("to", Side.Left),
            ("gain", Side.Right),
            ("dB", Side.Right),
            ("input", Side.Right),
            ("output", Side.Right)
        );
        foreach (var stage in levels.Stages)
        {
            table.Add(
                stage.Name + (stage.IsFedIn ? " *" : ""),
                amplifier.Circuit.Nodes[stage.Input].Name,
                amplifier.Circuit.Nodes[stage.Output].Name,
                EngineeringNotation.Format(Complex.Abs(stage.Gain), digits: 3),
                Decibels(stage.Decibels),
                Ohms(stage.InputImpedance),
                Ohms(stage.OutputImpedance)
            );
        }
        table.Write(screen, "  ");
        if (levels.Stages.Any(stage => stage.IsFedIn))
        {
            screen.Paragraph(
                "the test signal does not get there: one put in at the stage's own input.",
                "  * "
            );
        }
    }

    private static void WriteEnds(Screen screen, SignalLevels levels)
    {
        screen.Line();
        if (levels.InputImpedance is { } input)
        {
            screen.Paragraph($"{levels.Source} sees {Ohms(input)}.");
        }
        foreach (var load in levels.Loads)
        {
            screen.Paragraph(
                $"{load.Name} ({EngineeringNotation.Format(load.Ohms, "Ω")}) gets {EngineeringNotation.Format(load.Volts, "V", 3)} from {Ohms(load.OutputImpedance)}; 1 W there takes {EngineeringNotation.Format(load.OneWattVolts, "V", 3)} at {levels.Source}."
            );
        }
    }

    private static string Ohms(Complex impedance) =>
        Complex.Abs(impedance) < MostOhms
            ? EngineeringNotation.Format(Complex.Abs(impedance), "Ω", 3)
            : "open";
}

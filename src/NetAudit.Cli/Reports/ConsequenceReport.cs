using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Audits.Consequences;
using NetAudit.Audits.Stresses;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Reports;

/// <summary>What faults do to the rest: a ranked table, or each in full.</summary>
internal static class ConsequenceReport
{
    private const int MostRows = 25;
    private const int MostAlike = 4;

    public static void Write(
        Screen screen,
        Amplifier amplifier,
        ImmutableArray<Consequence> consequences,
        bool all
    )
    {
        var harmful = consequences.Where(one => one.IsHarmful).ToArray();
        screen.Line(
            $"{Titles.Of(amplifier)}: {harmful.Length} of {Figures.Count(consequences.Length, "different fault")} harm other parts",
            Ink.Heading
        );
        screen.Paragraph(
            "At rest, mains nominal. Load: of the limit, on the part that goes first, and how many more are over theirs; lives: how long it stands that when no fuse opens before; touch: volts where a hand may be, in brackets behind a control's insulation."
        );
        screen.Line();
        var table = new TextTable(
            ("fault", Side.Left),
            ("part", Side.Left),
            ("load", Side.Right),
            ("more", Side.Right),
            ("lives", Side.Right),
            ("fuse", Side.Left),
            ("touch", Side.Right)
        );
        var shown = all ? harmful : [.. harmful.Take(MostRows)];
        foreach (var one in shown)
        {
            var worst = one.First;
            table.Add(
                Name(one),
                worst is null ? "" : worst.Item.Part,
                worst is null ? "" : Percent(worst.Ratio),
                one.Overloads.Length < 2
                    ? ""
                    : (one.Overloads.Length - 1).ToString("+0", CultureInfo.InvariantCulture),
                Life(one.ShortestLife),
                Fuse(one),
                Touch(one)
            );
        }
        table.Write(screen, "  ");
        if (shown.Length < harmful.Length)
        {
            screen.Line(
                $"  {harmful.Length - shown.Length} more; --all shows them, --part PART those of one part in full."
            );
        }
        Unsettled(screen, consequences);
        CautionReport.Write(screen, amplifier);
    }

    /// <summary>Each consequence with all it does.</summary>
    public static void WriteInFull(
        Screen screen,
        Amplifier amplifier,
        ImmutableArray<Consequence> consequences
    )
    {
        screen.Line(Titles.Of(amplifier), Ink.Heading);
        foreach (var one in consequences)
        {
            screen.Line();
            screen.Paragraph(Name(one), "  ", "    ");
            if (one.Alike.Length > 0)
            {
                var names = one.Alike.Take(MostAlike).Select(fault => fault.Describe());
                var more = one.Alike.Length > MostAlike ? ", …" : "";
                screen.Paragraph($"does the same as: {string.Join(", ", names)}{more}", "    ");
            }
            foreach (var hazard in one.Hazards)
            {
                screen.Paragraph(
                    $"{hazard.Place}: {MeterText.Volts(hazard.Volts)} V, {EngineeringNotation.Format(hazard.Amps, "A", 2)} through a body: {(hazard.IsInsulated ? "behind its insulation, " : "")}{hazard.Level.ToString().ToLowerInvariant()}",
                    "    ",
                    "      ",
                    Ink.Alarm
                );
            }
            foreach (var overload in one.Overloads)
            {
                screen.Paragraph(Words(overload), "    ", "      ");
            }
            foreach (var fuse in one.Fuses)
            {
                screen.Paragraph(
                    $"{fuse.Fuse}: {EngineeringNotation.Format(fuse.Amps, "A", 3)} of {EngineeringNotation.Format(fuse.Rated!.Value, "A", 3)}: {FuseWords.Of(fuse.Opening)}",
                    "    ",
                    "      "
                );
            }
            if (!one.IsHarmful)
            {
                screen.Line(
                    one.Settled ? "    harms nothing" : "    unknown: the circuit does not settle"
                );
            }
        }
        CautionReport.Write(screen, amplifier);
    }

    /// <summary>An overload in words.</summary>
    public static string Words(Overload overload)
    {
        var unit = overload.Item.Kind.Unit();
        var life =
            overload.Outlived ? "; the fuse opens before it is ruined"
            : double.IsNaN(overload.Seconds) ? ""
            : double.IsInfinity(overload.Seconds) ? "; it lives on, and is spoiled slowly"
            : $"; ruined after about {Life(overload.Seconds)}";
        return $"{overload.Item.Part} {overload.Item.Kind.Describe()}: {EngineeringNotation.Format(overload.Value, unit, 3)} of {EngineeringNotation.Format(overload.Item.Limit!.Value, unit, 3)}, {Percent(overload.Ratio)}{life}";
    }

    private static void Unsettled(Screen screen, ImmutableArray<Consequence> consequences)
    {
        var names = consequences.Where(one => !one.Settled).Select(Name).ToArray();
        if (names.Length > 0)
        {
            screen.Paragraph(
                $"Unknown, since the circuit does not settle: {string.Join("; ", names)}.",
                "  "
            );
        }
    }

    private static string Name(Consequence one) =>
        string.Join(", together with ", one.Faults.Select(fault => fault.Describe()));

    private static string Life(double seconds) =>
        double.IsInfinity(seconds) ? ""
        : seconds < 1 ? "<1 s"
        : seconds < 120 ? EngineeringNotation.Format(seconds, "s", 2)
        : EngineeringNotation.Format(seconds / 60, "min", 2);

    private static string Fuse(Consequence one) =>
        one.Fuses.Length == 0 ? ""
        : one.Fuses.Any(fuse => fuse.Opening is { Opens: true }) ? "opens"
        : one.Fuses.All(fuse => fuse.Opening is { Holds: true }) ? "holds"
        : "may open";

    private static string Touch(Consequence one)
    {
        if (one.Hazards.Length == 0)
        {
            return "";
        }
        var volts = EngineeringNotation.Format(one.Hazards[0].Volts, "V", 3);
        return one.Hazards[0].IsInsulated ? $"({volts})" : volts;
    }

    private static string Percent(double ratio) =>
        (100 * ratio).ToString("0", CultureInfo.InvariantCulture) + " %";
}

using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;
using NetAudit.Common;

namespace NetAudit.Audits.Findings;

/// <summary>Sections left over, and heaters.</summary>
internal static class TubeChecks
{
    // Heaters hold within 10 % of their volts (data books say 7 to 10 %): common practice, no source.
    private const double HeaterTolerance = 0.10;

    public static void Run(AuditContext context)
    {
        var tubes = context.Amplifier.Parts.Where(part => part.Class == PartClass.Tube).ToArray();
        foreach (var tube in tubes)
        {
            CheckSections(context, tube);
        }
        if (context.Amplifier.Sheet.Heaters.IsEmpty)
        {
            return;
        }
        var heated = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        foreach (var heater in context.Amplifier.Sheet.Heaters)
        {
            CheckHeater(context, heater, tubes);
            heated.UnionWith(heater.Tubes);
        }
        foreach (var tube in tubes.Where(tube => !heated.Contains(tube.Name)))
        {
            context.Add(
                "heater-supply",
                tube.Name,
                context.Wiring.Where(InstanceOf(tube)),
                $"no [[heater]] of the sheet feeds {tube.Name}"
            );
        }
    }

    private static void CheckSections(AuditContext context, Part tube)
    {
        if (tube.TubeType is not { Sections.Length: > 1 } type)
        {
            return;
        }
        string[] unused =
        [
            .. type.Sections.Except(tube.Sections.Select(section => section.Section)),
        ];
        if (unused.Length > 0)
        {
            context.Add(
                "idle-section",
                tube.Name,
                context.Wiring.Where(InstanceOf(tube)),
                $"section {string.Join(", ", unused)} of {tube.Name} ({type.Name}) is not in the netlist"
            );
        }
    }

    private static void CheckHeater(AuditContext context, HeaterData heater, Part[] tubes)
    {
        var amps = 0.0;
        foreach (var tube in tubes)
        {
            if (
                tube.TubeType is not { } type
                || !heater.Tubes.Contains(tube.Name, StringComparer.OrdinalIgnoreCase)
            )
            {
                continue;
            }
            if (AmpsAt(type, heater.Volts) is { } drawn)
            {
                amps += drawn;
                continue;
            }
            context.Add(
                "heater-supply",
                tube.Name,
                heater.Where,
                $"{heater.Name} gives {EngineeringNotation.Format(heater.Volts, "V")}; the heater of {tube.Name} ({type.Name}) takes {EngineeringNotation.Format(type.HeaterVolts, "V")}"
            );
        }
        if (heater.Amps is { } rated && amps > rated * (1 + 1e-9))
        {
            context.Add(
                "heater-supply",
                heater.Name,
                heater.Where,
                $"the tubes on {heater.Name} take {EngineeringNotation.Format(amps, "A", 3)}; it is rated {EngineeringNotation.Format(rated, "A")}"
            );
        }
    }

    // A heater with a centre tap runs on half its volts at twice its current.
    private static double? AmpsAt(TubeType type, double volts) =>
        Fits(type.HeaterVolts, volts) ? type.HeaterAmps
        : type.Pins.Any(pin => pin.Electrode == Electrode.HeaterCentreTap)
        && Fits(type.HeaterVolts / 2, volts)
            ? 2 * type.HeaterAmps
        : null;

    private static bool Fits(double rated, double volts) =>
        Math.Abs(volts / rated - 1) <= HeaterTolerance;

    private static string InstanceOf(Part tube) =>
        tube.Sections.Length > 0 ? tube.Sections[0].Instance : tube.Name;
}

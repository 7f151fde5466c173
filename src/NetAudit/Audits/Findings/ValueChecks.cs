using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Audits.Findings;

/// <summary>Values that no series holds, or that do not belong where they stand.</summary>
internal static class ValueChecks
{
    // Below this a resistor of a netlist stands for wire.
    private const double LeastOhms = 0.1;

    public static void Run(AuditContext context)
    {
        foreach (var part in context.Amplifier.Parts)
        {
            if (
                part.Class
                is not (PartClass.Resistor or PartClass.Capacitor or PartClass.Electrolytic)
            )
            {
                continue;
            }
            foreach (var element in part.Elements.Select(i => context.Circuit.Elements[i]))
            {
                var (value, unit) = element switch
                {
                    Resistor resistor => (resistor.Ohms, "Ω"),
                    Capacitor capacitor => (capacitor.Farads, "F"),
                    _ => (double.NaN, ""),
                };
                if (value > 0)
                {
                    Check(context, part, element, value, unit);
                }
            }
        }
    }

    private static void Check(
        AuditContext context,
        Part part,
        Element element,
        double value,
        string unit
    )
    {
        foreach (var place in Places.Of(context, element))
        {
            var (low, high) = Places.Range(place);
            if (value < low || value > high)
            {
                context.Add(
                    "odd-value",
                    part.Name,
                    element.Where,
                    $"{element.Name} is {EngineeringNotation.Format(value, unit)}: a {place} has {EngineeringNotation.Format(low, unit)} to {EngineeringNotation.Format(high, unit)}"
                );
                return;
            }
        }
        if (
            (unit == "F" || value >= LeastOhms)
            && !PreferredValues.Holds(value, part.Data?.Tolerance?.High)
        )
        {
            context.Add(
                "off-series",
                part.Name,
                element.Where,
                $"{element.Name} is {EngineeringNotation.Format(value, unit, 6)}; the nearest of E24 is {EngineeringNotation.Format(PreferredValues.Nearest(value), unit)}"
            );
        }
    }
}

using NetAudit.Circuits;

namespace NetAudit.Audits.Findings;

/// <summary>Parts whose own wiring shorts them.</summary>
internal static class WiringChecks
{
    public static void Run(AuditContext context)
    {
        foreach (var part in context.Amplifier.Parts)
        {
            // A potentiometer used as a variable resistor has its wiper on one end.
            if (part.Class is PartClass.Potentiometer or PartClass.Tube)
            {
                continue;
            }
            foreach (var index in part.Elements)
            {
                var element = context.Circuit.Elements[index];
                var last = element is BipolarTransistor or JunctionFet or MosFet ? 2 : 1;
                if (
                    element.Device is null
                    && element.Terminals.Length > last
                    && element.Terminals[0].Node == element.Terminals[last].Node
                )
                {
                    context.Add(
                        "self-shorted",
                        part.Name,
                        element.Where,
                        $"both ends of {element.Name} are at {context.Name(element.Terminals[0].Node)}"
                    );
                }
            }
        }
        foreach (var device in context.Wiring.Devices)
        {
            if (device.IsTube && device.Plate >= 0 && device.Plate == device.Cathode)
            {
                context.Add(
                    "self-shorted",
                    device.Unit,
                    context.Wiring.Where(device),
                    $"plate and cathode of {device.Name} are both at {context.Name(device.Plate)}"
                );
            }
        }
    }
}

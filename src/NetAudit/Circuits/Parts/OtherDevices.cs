using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits.Parts;

/// <summary>Devices of subcircuits that are no tubes: one part each, by the netlist's name.</summary>
internal static class OtherDevices
{
    public static void Find(PartCollection parts)
    {
        foreach (var device in parts.Circuit.Instances.Where(instance => instance.IsDevice))
        {
            int[] elements = [.. parts.ElementsOf(device)];
            if (elements.Length > 0 && elements.All(parts.IsFree))
            {
                var pins = parts
                    .PinsOf(device.Name)
                    .Select(pin => new PartPin(pin.Name, Electrode.None, "", pin.Index, pin.Node));
                parts.Add(device.Name, PartClass.Other, elements, pins);
            }
        }
    }
}

using NetAudit.Circuits.Sheets;

namespace NetAudit.Circuits.Parts;

/// <summary>Parts that are one element.</summary>
internal static class SimpleParts
{
    // From about this value up a capacitor in audio gear is an electrolytic unless the sheet says otherwise: common practice, no source.
    private const double SmallestElectrolytic = 1e-6;

    // What people call the resistor that stands for a loudspeaker when no sheet says so: common practice, no source.
    private static readonly string[] LoadNames = ["RLOAD", "RSPK", "RSPEAKER", "RDUMMY"];

    public static void Find(PartCollection parts)
    {
        var circuit = parts.Circuit;
        for (var i = 0; i < circuit.Elements.Length; i++)
        {
            var element = circuit.Elements[i];
            if (parts.IsFree(i) && element.Device is null)
            {
                int[] only = [i];
                parts.Add(element.Name, ClassOf(parts.Sheet, element), only, parts.PinsOf(only));
            }
        }
    }

    public static PartClass ClassOf(ServiceSheet sheet, Element element)
    {
        if (IsFixture(sheet, element))
        {
            return PartClass.Fixture;
        }
        if (sheet.Fuses.Any(fuse => Same(fuse.Element, element.Name)))
        {
            return PartClass.Fuse;
        }
        if (sheet.Contacts.Any(contact => Same(contact.Element, element.Name)))
        {
            return PartClass.Contact;
        }
        var kind = sheet.Parts.GetValueOrDefault(element.Name)?.Kind;
        return element switch
        {
            Resistor when kind is "potentiometer" or "trimmer" => PartClass.Potentiometer,
            Resistor when kind is "winding" => PartClass.Winding,
            Resistor => PartClass.Resistor,
            Capacitor capacitor => CapacitorClass(kind, capacitor.Farads),
            Inductor => PartClass.Winding,
            Diode => PartClass.Diode,
            BipolarTransistor => PartClass.BipolarTransistor,
            JunctionFet => PartClass.JunctionFet,
            MosFet => PartClass.MosFet,
            VoltageSource or CurrentSource => PartClass.Supply,
            _ => PartClass.Other,
        };
    }

    private static PartClass CapacitorClass(string? kind, double farads) =>
        kind switch
        {
            "electrolytic" or "tantalum" or "aluminium" => PartClass.Electrolytic,
            null when farads >= SmallestElectrolytic => PartClass.Electrolytic,
            _ => PartClass.Capacitor,
        };

    private static bool IsFixture(ServiceSheet sheet, Element element) =>
        sheet.Fixtures.Contains(element.Name, StringComparer.OrdinalIgnoreCase)
        || (sheet.Signal is { } signal && Same(signal.Source, element.Name))
        || element switch
        {
            // A source without DC is a signal generator, a shorted input or an ammeter.
            VoltageSource source => source.Stimulus.Dc == 0,
            CurrentSource source => source.Stimulus.Dc == 0,
            Resistor => LoadNames.Any(load =>
                element.Name.StartsWith(load, StringComparison.OrdinalIgnoreCase)
            ),
            _ => false,
        };

    private static bool Same(string a, string b) => a.Equals(b, StringComparison.OrdinalIgnoreCase);
}

using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits.Parts;

/// <summary>Which pin of a base each port of a tube's device is.</summary>
internal static class TubePins
{
    // Ports that are bare numbers go by position, as the built-in tube models order them.
    private static readonly Electrode[] ByPosition =
    [
        Electrode.Plate,
        Electrode.Grid,
        Electrode.Cathode,
        Electrode.Screen,
    ];

    /// <summary>A device's pins and what they lead to, in port order.</summary>
    public static ImmutableArray<(Pin Pin, Electrode Electrode)> Electrodes(
        PartCollection parts,
        Instance device
    )
    {
        var isRectifier = TubeCatalogue.Find(device.Subcircuit) is { Kind: "rectifier" };
        return
        [
            .. parts
                .PinsOf(device.Name)
                .Select((pin, index) => (pin, ElectrodeOf(pin.Name, index))),
        ];

        Electrode ElectrodeOf(string port, int index)
        {
            if (!port.All(char.IsAsciiDigit))
            {
                return ElectrodeNames.Find(port) ?? Electrode.None;
            }
            if (isRectifier)
            {
                var isLast = index == device.Ports.Length - 1;
                return isLast ? Electrode.Cathode : Electrode.Plate;
            }
            return index < ByPosition.Length ? ByPosition[index] : Electrode.None;
        }
    }

    /// <summary>The sections a device is: one, or of a rectifier one a plate.</summary>
    public static IEnumerable<TubeSection> Sections(PartCollection parts, SectionDevice section)
    {
        var electrodes = Electrodes(parts, section.Device);
        int[] plates =
        [
            .. electrodes
                .Where(pair => pair.Electrode == Electrode.Plate)
                .Select(pair => pair.Pin.Index),
        ];
        for (var i = 0; i < Math.Max(1, plates.Length); i++)
        {
            yield return new TubeSection(
                section.Device.Name,
                plates.Length > 1 ? Letter(i) : section.Section,
                i < plates.Length ? plates[i] : -1,
                PinOf(Electrode.Grid),
                PinOf(Electrode.Cathode),
                PinOf(Electrode.Screen)
            );
        }

        int PinOf(Electrode electrode)
        {
            var found = electrodes.FirstOrDefault(pair => pair.Electrode == electrode).Pin;
            return found?.Index ?? -1;
        }
    }

    /// <summary>Pins of an envelope: by the sheet, else by the base table, else by port names.</summary>
    public static IEnumerable<PartPin> Of(
        PartCollection parts,
        TubeType? type,
        ImmutableArray<SectionDevice> sections,
        ImmutableArray<TubePinData> given
    )
    {
        if (!given.IsEmpty)
        {
            return given.Select(pin => GivenPin(parts, sections, pin));
        }
        return type is null
            ? sections.SelectMany(section => PortPins(parts, sections.Length, section))
            : type.Pins.Select(pin => BasePin(parts, sections, pin));
    }

    private static PartPin GivenPin(
        PartCollection parts,
        ImmutableArray<SectionDevice> sections,
        TubePinData pin
    )
    {
        var section = sections.FirstOrDefault(section =>
            section.Device.Name.Equals(pin.Instance, StringComparison.OrdinalIgnoreCase)
        );
        var found = section.Device is null ? null : Find(parts, section.Device, pin.Electrode, 0);
        return Make(pin.Number, pin.Electrode, section.Section ?? "", found);
    }

    private static PartPin BasePin(
        PartCollection parts,
        ImmutableArray<SectionDevice> sections,
        TubePin pin
    )
    {
        // A pin of no section (a pentode's, a common cathode) is in whatever device there is; a device of no section has them all.
        var section = sections.FirstOrDefault(section =>
            pin.Section.Length == 0 || section.Section.Length == 0 || section.Section == pin.Section
        );
        if (section.Device is null)
        {
            return Make(pin.Number, pin.Electrode, pin.Section, null);
        }
        // One device with two plates is a whole rectifier: the letter tells the plates apart.
        var plate = section.Section.Length == 0 && pin.Section == Letter(1) ? 1 : 0;
        var found = Find(parts, section.Device, pin.Electrode, plate);
        return Make(pin.Number, pin.Electrode, pin.Section, found);
    }

    private static IEnumerable<PartPin> PortPins(
        PartCollection parts,
        int sectionCount,
        SectionDevice section
    ) =>
        Electrodes(parts, section.Device)
            .Select(pair =>
            {
                var port = pair.Pin.Name;
                var name = sectionCount > 1 ? $"{section.Section}.{port}" : port;
                return Make(name, pair.Electrode, section.Section, pair.Pin);
            });

    private static Pin? Find(
        PartCollection parts,
        Instance device,
        Electrode electrode,
        int plate
    ) =>
        Electrodes(parts, device)
            .Where(pair => pair.Electrode == electrode && electrode != Electrode.None)
            .Skip(electrode == Electrode.Plate ? plate : 0)
            .Select(pair => pair.Pin)
            .FirstOrDefault();

    private static PartPin Make(string number, Electrode electrode, string section, Pin? pin) =>
        new(number, electrode, section, pin?.Index ?? -1, pin?.Node ?? -1);

    private static string Letter(int index) => ((char)('A' + index)).ToString();
}

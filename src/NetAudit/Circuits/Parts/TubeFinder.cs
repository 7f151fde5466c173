using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits.Parts;

/// <summary>A device and the section of the envelope that it is.</summary>
internal readonly record struct SectionDevice(Instance Device, string Section);

/// <summary>
/// Tube envelopes. The sheet's <c>[[tube]]</c> come first. Other devices of a tube type belong to one envelope when their names differ
/// in the closing section letter alone (<c>XV1A XV1B</c>, <c>XV1_1 XV1_2</c>), their type is the same and holds two sections; every
/// other tube device is an envelope of its own.
/// </summary>
internal static class TubeFinder
{
    public static void Find(PartCollection parts)
    {
        var free = parts.Circuit.Instances.Where(instance => instance.IsDevice).ToList();
        foreach (var tube in parts.Sheet.Tubes)
        {
            AddGiven(parts, tube, free);
        }
        foreach (var group in free.Where(device => IsTube(parts, device)).GroupBy(Envelope))
        {
            var first = group.First();
            var type = TubeCatalogue.Find(first.Subcircuit);
            var stem = IsTwin(type)
                ? PartNames.SplitSection(first.Name).Stem
                : PartNames.WithoutX(first.Name);
            Add(
                parts,
                parts.Choose(stem, first.Name),
                type,
                [.. group.Select(device => new SectionDevice(device, SectionOf(device, type)))],
                []
            );
        }
    }

    private static void AddGiven(PartCollection parts, TubeData tube, List<Instance> free)
    {
        var sections = ImmutableArray.CreateBuilder<SectionDevice>();
        foreach (var (instance, section) in tube.Sections)
        {
            var device = free.Find(device =>
                device.Name.Equals(instance, StringComparison.OrdinalIgnoreCase)
            );
            if (device is not null)
            {
                free.Remove(device);
                sections.Add(new SectionDevice(device, section));
            }
        }
        if (sections.Count > 0)
        {
            var type = TubeCatalogue.Find(tube.Type ?? sections[0].Device.Subcircuit);
            Add(parts, tube.Name, type, sections.ToImmutable(), tube.Pins);
        }
    }

    // A device of a type the base table knows, or one whose ports are named plate, grid and cathode.
    private static bool IsTube(PartCollection parts, Instance device)
    {
        if (TubeCatalogue.Find(device.Subcircuit) is not null)
        {
            return true;
        }
        var electrodes = TubePins.Electrodes(parts, device).Select(pair => pair.Electrode);
        return new[] { Electrode.Plate, Electrode.Grid, Electrode.Cathode }.All(
            electrodes.Contains
        );
    }

    // Devices that give the same key share an envelope.
    private static string Envelope(Instance device)
    {
        var type = TubeCatalogue.Find(device.Subcircuit);
        var (stem, section) = PartNames.SplitSection(device.Name);
        return IsTwin(type) && section.Length > 0
            ? $"{stem}/{type?.Name ?? device.Subcircuit}".ToUpperInvariant()
            : device.Name.ToUpperInvariant() + "/";
    }

    private static string SectionOf(Instance device, TubeType? type)
    {
        if (!IsTwin(type))
        {
            return "";
        }
        var section = PartNames.SplitSection(device.Name).Section;
        return section.Length > 0 || type is null ? section : "A";
    }

    // Of a type the base table lacks, a section letter is taken at its word.
    private static bool IsTwin(TubeType? type) => type is null || type.Sections.Length > 1;

    private static void Add(
        PartCollection parts,
        string name,
        TubeType? type,
        ImmutableArray<SectionDevice> sections,
        ImmutableArray<TubePinData> pins
    ) =>
        parts.Add(
            name,
            PartClass.Tube,
            sections.SelectMany(section => parts.ElementsOf(section.Device)),
            TubePins.Of(parts, type, sections, pins),
            type,
            [.. sections.SelectMany(section => TubePins.Sections(parts, section))]
        );
}

using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits.Parts;

/// <summary>
/// The parts found so far. An element belongs to one part only; a finder takes its elements and later finders pass them over. Names are
/// unique: a part whose short name is taken (a tube <c>XV1</c> beside a source <c>V1</c>) keeps the netlist's own name instead.
/// </summary>
internal sealed class PartCollection
{
    private readonly bool[] taken;
    private readonly List<Part> parts = [];
    private readonly HashSet<string> names = new(StringComparer.OrdinalIgnoreCase);
    private readonly ILookup<string, Pin> pins;
    private readonly ILookup<string, int> deviceElements;

    public PartCollection(Circuit circuit, ServiceSheet sheet)
    {
        Circuit = circuit;
        Sheet = sheet;
        taken = new bool[circuit.Elements.Length];
        pins = circuit.Pins.ToLookup(pin => pin.Owner, StringComparer.OrdinalIgnoreCase);
        deviceElements = Enumerable
            .Range(0, circuit.Elements.Length)
            .Where(i => circuit.Elements[i].Device is not null)
            .ToLookup(i => circuit.Elements[i].Device!, StringComparer.OrdinalIgnoreCase);
        // Every element may yet become a part of its own name.
        foreach (var element in circuit.Elements.Where(element => element.Device is null))
        {
            names.Add(element.Name);
        }
    }

    public Circuit Circuit { get; }

    public ServiceSheet Sheet { get; }

    /// <summary>The parts in netlist order.</summary>
    public ImmutableArray<Part> Parts =>
        [.. parts.OrderBy(part => part.Elements.FirstOrDefault(int.MaxValue))];

    public bool IsFree(int element) => !taken[element];

    /// <summary>Pins of an element or a device, in terminal order.</summary>
    public IEnumerable<Pin> PinsOf(string owner) => pins[owner];

    /// <summary>Elements inside a device, ascending.</summary>
    public IEnumerable<int> ElementsOf(Instance device) => deviceElements[device.Name];

    /// <summary>A name for a part that is not called like an element: the short one, or the netlist's when that is taken.</summary>
    public string Choose(string shortName, string netlistName) =>
        names.Contains(shortName) ? netlistName : shortName;

    public void Add(
        string name,
        PartClass partClass,
        IEnumerable<int> elements,
        IEnumerable<PartPin> partPins,
        TubeType? tubeType = null,
        ImmutableArray<TubeSection> sections = default
    )
    {
        ImmutableArray<int> own = [.. elements.Order()];
        foreach (var element in own)
        {
            taken[element] = true;
        }
        names.Add(name);
        if (sections.IsDefault)
        {
            sections = [];
        }
        var data = DataOf(name, own, sections);
        parts.Add(new Part(name, partClass, own, [.. partPins], tubeType, sections, data));
    }

    /// <summary>Pins of several elements as pins of one part: a single element's by their own names, else as <c>RVOL_A.1</c>.</summary>
    public IEnumerable<PartPin> PinsOf(IReadOnlyCollection<int> elements) =>
        elements.SelectMany(element =>
        {
            var owner = Circuit.Elements[element].Name;
            return pins[owner]
                .Select(pin =>
                {
                    var name = elements.Count == 1 ? pin.Name : $"{owner}.{pin.Name}";
                    return new PartPin(name, Electrode.None, "", pin.Index, pin.Node);
                });
        });

    // A sheet may name a tube by a section's instance, and a part of several elements by one of them.
    private PartData? DataOf(
        string name,
        ImmutableArray<int> elements,
        ImmutableArray<TubeSection> sections
    )
    {
        var others = sections.IsEmpty
            ? elements.Select(element => Circuit.Elements[element].Name)
            : sections.Select(section => section.Instance);
        return others
            .Prepend(name)
            .Select(spelling => Sheet.Parts.GetValueOrDefault(spelling))
            .FirstOrDefault(data => data is not null);
    }
}

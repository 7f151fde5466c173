using System.Collections.Immutable;

namespace NetAudit.Circuits.Stages;

/// <summary>A circuit as the stage finder sees it: passive links by node, and active devices with their electrodes by node.</summary>
internal sealed class StageGraph
{
    // Only their order of size matters, against resistors.
    private const double InductorOhms = 1;
    private const double DiodeOhms = 100;

    private readonly ILookup<int, Link> linksAt;
    private readonly ILookup<int, ActiveDevice> devicesAt;
    private readonly Dictionary<int, int> transformers;

    public StageGraph(Circuit circuit, ImmutableArray<Part> parts)
    {
        Circuit = circuit;
        Parts = parts;
        Devices = ActiveDevice.Of(circuit, parts);
        Links = [.. LinksOf(circuit).Concat(RectifierLinks(circuit, parts))];
        linksAt = Links
            .SelectMany(link => new[] { (Node: link.A, link), (Node: link.B, link) })
            .ToLookup(pair => pair.Node, pair => pair.link);
        devicesAt = Devices
            .SelectMany(device => device.Nodes.Distinct().Select(node => (node, device)))
            .ToLookup(pair => pair.node, pair => pair.device);
        transformers = TransformersOf(circuit);
        Fixtures =
        [
            .. parts
                .Where(part => part.Class == PartClass.Fixture)
                .SelectMany(part => part.Elements),
        ];
    }

    public Circuit Circuit { get; }

    public ImmutableArray<Part> Parts { get; }

    public ImmutableArray<ActiveDevice> Devices { get; }

    public ImmutableArray<Link> Links { get; }

    /// <summary>Elements of test gear.</summary>
    public ImmutableHashSet<int> Fixtures { get; }

    public IEnumerable<Link> LinksAt(int node) => linksAt[node];

    public IEnumerable<Link> DirectLinksAt(int node) =>
        linksAt[node].Where(link => link.Kind == LinkKind.Direct);

    public IEnumerable<ActiveDevice> DevicesAt(int node) => devicesAt[node];

    /// <summary>The transformer that an inductor is a winding of, by its lowest winding; null for a coil that nothing couples to.</summary>
    public int? TransformerOf(int element) =>
        transformers.TryGetValue(element, out var lowest) ? lowest : null;

    private static Dictionary<int, int> TransformersOf(Circuit circuit)
    {
        var lowest = new Dictionary<int, int>();
        var couplings = circuit.Elements.OfType<Coupling>().ToArray();
        // Couplings lead from winding to winding: repeat until the lowest has come round everywhere.
        for (var changed = true; changed; )
        {
            changed = false;
            foreach (var coupling in couplings)
            {
                var (first, second) = (coupling.First, coupling.Second);
                var least = Math.Min(
                    lowest.GetValueOrDefault(first, first),
                    lowest.GetValueOrDefault(second, second)
                );
                changed |= lowest.GetValueOrDefault(first, -1) != least;
                changed |= lowest.GetValueOrDefault(second, -1) != least;
                lowest[first] = lowest[second] = least;
            }
        }
        return lowest;
    }

    private static IEnumerable<Link> LinksOf(Circuit circuit)
    {
        for (var i = 0; i < circuit.Elements.Length; i++)
        {
            var element = circuit.Elements[i];
            if (element.Device is not null || element.Terminals.Length != 2)
            {
                continue;
            }
            var (kind, size) = element switch
            {
                Resistor resistor => (LinkKind.Direct, Math.Abs(resistor.Ohms)),
                Inductor => (LinkKind.Direct, InductorOhms),
                Diode => (LinkKind.Direct, DiodeOhms),
                Capacitor capacitor => (LinkKind.Capacitive, capacitor.Farads),
                VoltageSource source => (LinkKind.Source, source.Stimulus.Dc),
                CurrentSource source => (LinkKind.Source, source.Stimulus.Dc),
                _ => (LinkKind.Source, 0),
            };
            yield return new Link(
                i,
                element.Terminals[0].Node,
                element.Terminals[1].Node,
                kind,
                size
            );
        }
    }

    private static IEnumerable<Link> RectifierLinks(Circuit circuit, ImmutableArray<Part> parts) =>
        parts
            .SelectMany(part => part.Sections.Select(section => (part, section)))
            .Where(pair =>
                pair.section.Grid < 0 && pair.section.Plate >= 0 && pair.section.Cathode >= 0
            )
            .Select(pair => new Link(
                pair.part.Elements[0],
                circuit.Pins[pair.section.Plate].Node,
                circuit.Pins[pair.section.Cathode].Node,
                LinkKind.Direct,
                DiodeOhms
            ));
}

using NetAudit.Circuits;
using NetAudit.Circuits.Stages;
using NetAudit.Common;
using QuikGraph;

namespace NetAudit.Audits.Findings;

/// <summary>
/// The circuit as graphs over its nodes, and what meets at each node. An edge is tagged with its element; the current path of a tube is
/// tagged with the first element of its device.
/// </summary>
internal sealed class Wiring
{
    private readonly List<(string Owner, SourceSpan Where)>[] _connections;
    private readonly Dictionary<string, string> _owners;

    public Wiring(Amplifier amplifier)
    {
        Circuit = amplifier.Circuit;
        Devices = ActiveDevice.Of(amplifier.Circuit, amplifier.Parts);
        _connections = Connections(amplifier.Circuit);
        _owners = amplifier
            .Parts.Where(part => part.Elements.Length > 0)
            .ToDictionary(
                part => part.Name,
                part =>
                    part.Sections.Length > 0
                        ? part.Sections[0].Instance
                        : amplifier.Circuit.Elements[part.Elements[0]].Name
            );
    }

    public Circuit Circuit { get; }

    public IReadOnlyList<ActiveDevice> Devices { get; }

    /// <summary>What meets at a node: each end of an element outside devices, each port of a device.</summary>
    public IReadOnlyList<(string Owner, SourceSpan Where)> At(int node) => _connections[node];

    /// <summary>The card of the first thing that meets at a node.</summary>
    public SourceSpan? Where(int node) =>
        _connections[node].Count > 0 ? _connections[node][0].Where : null;

    /// <summary>Name of the instance or element that a device is.</summary>
    public string OwnerOf(ActiveDevice device) =>
        _owners.GetValueOrDefault(device.Unit, device.Unit);

    /// <summary>The card of a device.</summary>
    public SourceSpan? Where(ActiveDevice device) => Where(OwnerOf(device));

    /// <summary>The card of an instance or element by name.</summary>
    public SourceSpan? Where(string owner)
    {
        foreach (var instance in Circuit.Instances)
        {
            if (instance.Name.Equals(owner, StringComparison.OrdinalIgnoreCase))
            {
                return instance.Where;
            }
        }
        var element = Circuit.FindElement(owner);
        return element < 0 ? null : Circuit.Elements[element].Where;
    }

    /// <summary>A graph of all nodes with an edge for each pair that <paramref name="pairs"/> gives of an element.</summary>
    public UndirectedGraph<int, STaggedUndirectedEdge<int, int>> Graph(
        Func<Element, IEnumerable<(int A, int B)>> pairs
    )
    {
        var graph = new UndirectedGraph<int, STaggedUndirectedEdge<int, int>>();
        graph.AddVertexRange(Enumerable.Range(0, Circuit.Nodes.Length));
        for (var i = 0; i < Circuit.Elements.Length; i++)
        {
            foreach (var (a, b) in pairs(Circuit.Elements[i]))
            {
                if (a != b)
                {
                    graph.AddEdge(new(Math.Min(a, b), Math.Max(a, b), i));
                }
            }
        }
        return graph;
    }

    private static List<(string, SourceSpan)>[] Connections(Circuit circuit)
    {
        var found = circuit.Nodes.Select(_ => new List<(string, SourceSpan)>()).ToArray();
        foreach (var element in circuit.Elements.Where(element => element.Device is null))
        {
            foreach (var terminal in element.Terminals)
            {
                found[terminal.Node].Add((element.Name, element.Where));
            }
            foreach (var node in Sensed(element))
            {
                found[node].Add((element.Name, element.Where));
            }
        }
        foreach (var instance in circuit.Instances.Where(instance => instance.IsDevice))
        {
            foreach (var (_, node) in instance.Ports)
            {
                found[node].Add((instance.Name, instance.Where));
            }
        }
        return found;
    }

    private static IEnumerable<int> Sensed(Element element) =>
        element switch
        {
            VoltageControlledSource source => source.Controls.Select(terminal => terminal.Node),
            BehaviouralSource source => source.ControlVoltages.SelectMany(pair =>
                new[] { pair.Positive.Node, pair.Negative.Node }
            ),
            _ => [],
        };
}

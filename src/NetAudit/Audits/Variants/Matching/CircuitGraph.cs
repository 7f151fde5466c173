using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Variants.Matching;

/// <summary>One end of a unit.</summary>
/// <param name="Role">Which end it is; <see cref="CircuitGraph.EitherEnd"/> where the two ends of a part are alike.</param>
/// <param name="Node">Node index.</param>
internal readonly record struct UnitEnd(int Role, int Node);

/// <summary>The smallest thing that is matched: an element that is no inner part of a device, or a device.</summary>
/// <param name="Name">Name in the netlist.</param>
/// <param name="Part">Name of the part that it belongs to.</param>
/// <param name="Class">Class of that part.</param>
/// <param name="Kind">Only units of one kind can be the same thing: <c>R</c>, <c>C</c>, <c>Qnpn</c>, <c>tube g k p</c>.</param>
/// <param name="Value">Value in SI units, or NaN.</param>
/// <param name="Type">Type or model as people say it, <c>12AX7</c>; empty where there is none.</param>
/// <param name="TypeKey">What the type does, whatever it is called: equal for equal models.</param>
/// <param name="Ends">Where it connects, in netlist order.</param>
internal sealed record GraphUnit(
    string Name,
    string Part,
    PartClass Class,
    string Kind,
    double Value,
    string Type,
    string TypeKey,
    ImmutableArray<UnitEnd> Ends
);

/// <summary>
/// A circuit as units and the nodes where they meet. Vertices are numbered: units first, in netlist order, then nodes by index.
/// Immutable.
/// </summary>
internal sealed class CircuitGraph
{
    /// <summary>The role of both ends of a resistor, capacitor or inductor.</summary>
    public const int EitherEnd = 0;

    private readonly (int Vertex, int Role)[][] _neighbours;

    public CircuitGraph(ImmutableArray<GraphUnit> units, ImmutableArray<string> nodeNames)
    {
        Units = units;
        NodeNames = nodeNames;
        var neighbours = new List<(int, int)>[units.Length + nodeNames.Length];
        for (var vertex = 0; vertex < neighbours.Length; vertex++)
        {
            neighbours[vertex] = [];
        }
        for (var unit = 0; unit < units.Length; unit++)
        {
            foreach (var end in units[unit].Ends)
            {
                neighbours[unit].Add((NodeVertex(end.Node), end.Role));
                neighbours[NodeVertex(end.Node)].Add((unit, end.Role));
            }
        }
        _neighbours = [.. neighbours.Select(list => list.ToArray())];
    }

    /// <summary>The units.</summary>
    public ImmutableArray<GraphUnit> Units { get; }

    /// <summary>Names of the nodes by index; 0 is chassis. Nodes inside devices have no neighbours.</summary>
    public ImmutableArray<string> NodeNames { get; }

    /// <summary>Number of vertices.</summary>
    public int Count => _neighbours.Length;

    /// <summary>Vertex of a node.</summary>
    public int NodeVertex(int node) => Units.Length + node;

    /// <summary>True for the vertex of a unit.</summary>
    public bool IsUnit(int vertex) => vertex < Units.Length;

    /// <summary>Name of a unit or node.</summary>
    public string NameOf(int vertex) =>
        IsUnit(vertex) ? Units[vertex].Name : NodeNames[vertex - Units.Length];

    /// <summary>The vertices next to one, with the role of the end between.</summary>
    public ReadOnlySpan<(int Vertex, int Role)> Neighbours(int vertex) => _neighbours[vertex];
}

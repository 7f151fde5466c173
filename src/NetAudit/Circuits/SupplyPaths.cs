using System.Collections.Immutable;

namespace NetAudit.Circuits;

/// <summary>Paths of resistors around a reservoir capacitor.</summary>
internal static class SupplyPaths
{
    /// <summary>
    /// The resistors on the path of least ohms between two nodes that does not touch a third (Dijkstra's algorithm), none when the nodes
    /// are one, null when there is no path.
    /// </summary>
    public static ImmutableArray<int>? Resistors(Circuit circuit, int from, int to, int avoid)
    {
        if (from == to)
        {
            return [];
        }
        var ohms = new double[circuit.Nodes.Length];
        var via = new int[circuit.Nodes.Length];
        Array.Fill(ohms, double.PositiveInfinity);
        Array.Fill(via, -1);
        ohms[from] = 0;
        var open = new PriorityQueue<int, double>();
        open.Enqueue(from, 0);
        while (open.TryDequeue(out var node, out var reached))
        {
            if (reached > ohms[node])
            {
                continue;
            }
            foreach (var (element, other, size) in ResistorsAt(circuit, node))
            {
                if (other != avoid && reached + size < ohms[other])
                {
                    ohms[other] = reached + size;
                    via[other] = element;
                    open.Enqueue(other, ohms[other]);
                }
            }
        }
        if (via[to] < 0)
        {
            return null;
        }
        var path = ImmutableArray.CreateBuilder<int>();
        for (var node = to; node != from; )
        {
            path.Add(via[node]);
            var ends = circuit.Elements[via[node]].Terminals;
            node = ends[0].Node == node ? ends[1].Node : ends[0].Node;
        }
        return path.ToImmutable();
    }

    /// <summary>Siemens from a node through single resistors to nodes that a capacitor of at least that many farads holds.</summary>
    public static double SmoothingSiemens(
        Circuit circuit,
        int node,
        ImmutableArray<int> except,
        double farads
    ) =>
        ResistorsAt(circuit, node)
            .Where(r => !except.Contains(r.Element) && r.Other != 0)
            .Where(r =>
                circuit.Elements.Any(e =>
                    e is Capacitor capacitor
                    && capacitor.Farads >= farads
                    && capacitor.Terminals.Any(t => t.Node == r.Other)
                    && capacitor.Terminals.All(t => t.Node != node)
                )
            )
            .Sum(r => 1 / r.Ohms);

    private static IEnumerable<(int Element, int Other, double Ohms)> ResistorsAt(
        Circuit circuit,
        int node
    )
    {
        for (var e = 0; e < circuit.Elements.Length; e++)
        {
            if (
                circuit.Elements[e] is Resistor { Device: null, Ohms: > 0 } resistor
                && resistor.Terminals[0].Node != resistor.Terminals[1].Node
            )
            {
                var (a, b) = (resistor.Terminals[0].Node, resistor.Terminals[1].Node);
                if (a == node)
                {
                    yield return (e, b, resistor.Ohms);
                }
                else if (b == node)
                {
                    yield return (e, a, resistor.Ohms);
                }
            }
        }
    }
}

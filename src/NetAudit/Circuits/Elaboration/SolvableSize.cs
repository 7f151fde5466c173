using NetAudit.Common;

namespace NetAudit.Circuits.Elaboration;

/// <summary>
/// Refuses a circuit whose equations would not fit: an amplifier's nodes have a handful of neighbours each, but where thousands are tied
/// to thousands at random, the factors of the matrix fill up. The work is counted as the solver does it, in the order of fewest
/// neighbours, and no further than the bound.
/// </summary>
internal static class SolvableSize
{
    /// <summary>Voltage sources of one circuit: each keeps what it moves for every node.</summary>
    public const int MostSources = 1_000;

    /// <summary>Pairs of neighbours met in an elimination; one large amplifier has some thousands.</summary>
    private const int MostPairs = 10_000_000;

    /// <summary>What is wrong with the size of a circuit; null when it can be solved.</summary>
    public static Diagnostic? Problem(Circuit circuit)
    {
        var sources = circuit.Elements.OfType<VoltageSource>().Skip(MostSources).FirstOrDefault();
        if (sources is not null)
        {
            return Refuse(sources, $"the circuit has more than {MostSources} voltage sources");
        }
        return IsDense(Neighbours(circuit))
            ? Refuse(
                circuit.Elements[0],
                $"the circuit's {circuit.Nodes.Length} nodes are tied to each other too densely to be solved"
            )
            : null;
    }

    private static Diagnostic Refuse(Element element, string message) =>
        new(
            Severity.Error,
            element.Where,
            message,
            "leave out what does not belong to one amplifier"
        );

    // Chassis is no unknown.
    private static HashSet<int>[] Neighbours(Circuit circuit)
    {
        var neighbours = new HashSet<int>[circuit.Nodes.Length];
        for (var node = 0; node < neighbours.Length; node++)
        {
            neighbours[node] = [];
        }
        foreach (var element in circuit.Elements)
        {
            foreach (var a in element.Terminals)
            {
                foreach (var b in element.Terminals)
                {
                    if (a.Node != b.Node && a.Node != 0 && b.Node != 0)
                    {
                        neighbours[a.Node].Add(b.Node);
                    }
                }
            }
        }
        return neighbours;
    }

    private static bool IsDense(HashSet<int>[] neighbours)
    {
        var queue = new PriorityQueue<int, int>();
        for (var node = 1; node < neighbours.Length; node++)
        {
            queue.Enqueue(node, neighbours[node].Count);
        }
        var pairs = 0L;
        var done = new bool[neighbours.Length];
        while (queue.TryDequeue(out var node, out var count))
        {
            // A node whose count has changed since stands in the queue again.
            if (done[node] || count != neighbours[node].Count)
            {
                continue;
            }
            done[node] = true;
            pairs += (long)count * count;
            if (pairs > MostPairs)
            {
                return true;
            }
            foreach (var a in neighbours[node])
            {
                neighbours[a].Remove(node);
                neighbours[a].UnionWith(neighbours[node]);
                neighbours[a].Remove(a);
                queue.Enqueue(a, neighbours[a].Count);
            }
        }
        return false;
    }
}

using NetAudit.Circuits;

namespace NetAudit.Simulation.Compilation;

/// <summary>
/// Nodes that need no unknown of their own: those tied to chassis through voltage sources and inductors have a known voltage, and those
/// joined by inductors (shorts at DC) share one. The joining elements form a forest; whatever would close a loop keeps a branch current.
/// Off DC an inductor is no short, and only sources are folded.
/// </summary>
internal sealed class NodeFolding
{
    private NodeFolding(int nodeCount)
    {
        Group = new int[nodeCount];
        ParentNode = new int[nodeCount];
        ParentElement = new int[nodeCount];
        Array.Fill(Group, -1);
        Array.Fill(ParentNode, -1);
        Array.Fill(ParentElement, -1);
    }

    /// <summary>Group of each node; nodes of one group have one voltage. Group 0 is chassis; the fixed groups come first.</summary>
    public int[] Group { get; }

    /// <summary>The node nearer the root at the other end of the folded element, or -1 for a root.</summary>
    public int[] ParentNode { get; }

    /// <summary>The folded element between a node and its parent, or -1.</summary>
    public int[] ParentElement { get; }

    /// <summary>Groups of known voltage, chassis included.</summary>
    public int FixedGroupCount { get; private set; }

    public int GroupCount { get; private set; }

    /// <summary>For each fixed group but chassis, in an order that has parents first: the node at the other end of the source, the source, and +1 when the source's first terminal is in the group.</summary>
    public List<(int Group, int ParentNode, int Element, int Sign)> FixedSteps { get; } = [];

    /// <summary>True for elements folded away.</summary>
    public HashSet<int> Folded { get; } = [];

    /// <param name="circuit">The circuit.</param>
    /// <param name="isControl">Elements whose current controls another: they keep it as an unknown.</param>
    /// <param name="withInductors">Whether inductors are shorts.</param>
    public static NodeFolding Fold(Circuit circuit, bool[] isControl, bool withInductors)
    {
        var folding = new NodeFolding(circuit.Nodes.Length);
        var edges = Edges(circuit, isControl, withInductors);
        folding.Grow(0, edges, circuit, withSources: true);
        folding.FixedGroupCount = folding.GroupCount;
        for (var node = 1; node < circuit.Nodes.Length; node++)
        {
            if (folding.Group[node] < 0)
            {
                folding.Grow(node, edges, circuit, withSources: false);
            }
        }
        return folding;
    }

    private static List<(int Element, int Other)>?[] Edges(
        Circuit circuit,
        bool[] isControl,
        bool withInductors
    )
    {
        var edges = new List<(int, int)>?[circuit.Nodes.Length];
        for (var e = 0; e < circuit.Elements.Length; e++)
        {
            var joins =
                circuit.Elements[e] is VoltageSource { Supply: null }
                || (withInductors && circuit.Elements[e] is Inductor);
            if (joins && !isControl[e])
            {
                var terminals = circuit.Elements[e].Terminals;
                var (a, b) = (terminals[0].Node, terminals[1].Node);
                (edges[a] ??= []).Add((e, b));
                (edges[b] ??= []).Add((e, a));
            }
        }
        return edges;
    }

    private void Grow(
        int root,
        List<(int Element, int Other)>?[] edges,
        Circuit circuit,
        bool withSources
    )
    {
        Group[root] = GroupCount++;
        var queue = new Queue<int>();
        queue.Enqueue(root);
        while (queue.TryDequeue(out var node))
        {
            foreach (var (element, other) in edges[node] ?? [])
            {
                var isSource = circuit.Elements[element] is VoltageSource;
                if (Group[other] >= 0 || (isSource && !withSources))
                {
                    continue;
                }
                if (isSource)
                {
                    Group[other] = GroupCount++;
                    var sign = circuit.Elements[element].Terminals[0].Node == other ? 1 : -1;
                    FixedSteps.Add((Group[other], node, element, sign));
                }
                else
                {
                    Group[other] = Group[node];
                }
                ParentNode[other] = node;
                ParentElement[other] = element;
                Folded.Add(element);
                queue.Enqueue(other);
            }
        }
    }
}

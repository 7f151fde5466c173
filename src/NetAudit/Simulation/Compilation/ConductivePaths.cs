using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Simulation.Compilation;

/// <summary>Finds nodes that nothing but leakage ties to chassis at DC.</summary>
internal static class ConductivePaths
{
    /// <summary>One note for each set of nodes that hang together but have no path to chassis.</summary>
    public static ImmutableArray<string> NodesWithoutPath(Circuit circuit)
    {
        var parent = new int[circuit.Nodes.Length];
        for (var i = 0; i < parent.Length; i++)
        {
            parent[i] = i;
        }
        foreach (var element in circuit.Elements)
        {
            var terminals = element.Terminals;
            switch (element)
            {
                case Capacitor or CurrentSource or Coupling:
                    break;
                case MosFet:
                    Join(terminals[0].Node, terminals[2].Node);
                    Join(terminals[3].Node, terminals[2].Node);
                    break;
                default:
                    // Controlled and behavioural current sources count: their law may well make a resistance of them.
                    for (var i = 1; i < terminals.Length; i++)
                    {
                        Join(terminals[0].Node, terminals[i].Node);
                    }
                    break;
            }
        }
        SortedDictionary<int, List<string>>? loose = null;
        for (var node = 1; node < parent.Length; node++)
        {
            if (Root(node) != Root(0) && !circuit.Nodes[node].Internal)
            {
                loose ??= [];
                if (!loose.TryGetValue(Root(node), out var names))
                {
                    loose.Add(Root(node), names = []);
                }
                names.Add(circuit.Nodes[node].Name);
            }
        }
        return loose is null
            ? []
            :
            [
                .. loose.Values.Select(names =>
                    $"No DC path to chassis from {string.Join(", ", names)}: leakage alone sets the voltage there."
                ),
            ];

        int Root(int node)
        {
            while (parent[node] != node)
            {
                parent[node] = parent[parent[node]];
                node = parent[node];
            }
            return node;
        }

        void Join(int a, int b)
        {
            var (x, y) = (Root(a), Root(b));
            parent[Math.Max(x, y)] = Math.Min(x, y);
        }
    }
}

using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Simulation.Compilation;

/// <summary>Finds nodes that nothing but leakage ties to chassis at DC.</summary>
internal static class ConductivePaths
{
    /// <summary>The nodes without a path, and a note for each set of them that hangs together.</summary>
    public static (bool[] IsLoose, ImmutableArray<string> Notes) Find(Circuit circuit)
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
        var isLoose = new bool[parent.Length];
        SortedDictionary<int, List<string>>? loose = null;
        for (var node = 1; node < parent.Length; node++)
        {
            isLoose[node] = Root(node) != Root(0);
            if (isLoose[node] && !circuit.Nodes[node].Internal)
            {
                loose ??= [];
                if (!loose.TryGetValue(Root(node), out var names))
                {
                    loose.Add(Root(node), names = []);
                }
                names.Add(circuit.Nodes[node].Name);
            }
        }
        return (
            isLoose,
            [
                .. (loose?.Values ?? Enumerable.Empty<List<string>>()).Select(names =>
                    $"No DC path to chassis from {string.Join(", ", names)}: leakage alone sets the voltage there."
                ),
            ]
        );

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

using NetAudit.Circuits;
using QuikGraph;
using QuikGraph.Algorithms;
using QuikGraph.Collections;

namespace NetAudit.Audits.Findings;

/// <summary>Closed loops of ideal voltage sources and inductors.</summary>
internal static class LoopChecks
{
    public static void Run(AuditContext context)
    {
        var circuit = context.Circuit;
        var joined = new ForestDisjointSet<int>(circuit.Nodes.Length);
        foreach (var node in circuit.Nodes)
        {
            joined.MakeSet(node.Index);
        }
        var tree = new UndirectedGraph<int, STaggedUndirectedEdge<int, int>>();
        tree.AddVertexRange(circuit.Nodes.Select(node => node.Index));
        foreach (var edge in context.Wiring.Graph(Conduction.Stiff).Edges.OrderBy(edge => edge.Tag))
        {
            if (joined.Union(edge.Source, edge.Target))
            {
                tree.AddEdge(edge);
                continue;
            }
            var others = Path(tree, edge.Source, edge.Target);
            Element[] loop = [.. others.Append(edge.Tag).Order().Select(i => circuit.Elements[i])];
            var names = string.Join(", ", loop.Select(element => element.Name));
            var last = circuit.Elements[edge.Tag];
            context.Add(
                "source-loop",
                last.Name,
                last.Where,
                loop.All(element => element is Inductor)
                    ? $"{names} form a loop of inductors without resistance: nothing shares a direct current between them"
                    : $"{names} form a loop without resistance: nothing limits the current around it"
            );
        }
    }

    private static IEnumerable<int> Path(
        UndirectedGraph<int, STaggedUndirectedEdge<int, int>> tree,
        int from,
        int to
    ) =>
        tree.ShortestPathsDijkstra(_ => 1, from)(to, out var path)
            ? path.Select(edge => edge.Tag)
            : [];
}

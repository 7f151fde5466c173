using QuikGraph;
using QuikGraph.Algorithms;

namespace NetAudit.Circuits.Stages;

/// <summary>The supply nodes as stages: rails that direct links, sources or regulators join are one supply.</summary>
internal static class SupplyStages
{
    /// <summary>Supply by node, in node order.</summary>
    public static SortedDictionary<int, StageDraft> Find(
        StageGraph graph,
        IReadOnlySet<int> nodes,
        IReadOnlySet<ActiveDevice> regulators
    )
    {
        var joined = new UndirectedGraph<int, SUndirectedEdge<int>>();
        joined.AddVertexRange(nodes.Order());
        foreach (var link in graph.Links)
        {
            Join(link.A, link.B);
        }
        foreach (var device in regulators)
        {
            Join(device.Plate, device.Cathode);
            Join(device.Grid, device.Cathode);
        }
        var component = new Dictionary<int, int>();
        joined.ConnectedComponents(component);
        var found = new SortedDictionary<int, StageDraft>();
        foreach (var group in component.GroupBy(pair => pair.Value, pair => pair.Key))
        {
            var stage = new StageDraft(
                StageKind.Supply,
                [.. regulators.Where(device => group.Contains(device.Cathode))]
            );
            foreach (var node in group)
            {
                stage.Nodes.Add(node);
                found.Add(node, stage);
            }
        }
        return found;

        void Join(int a, int b)
        {
            if (a != b && nodes.Contains(a) && nodes.Contains(b))
            {
                joined.AddEdge(new SUndirectedEdge<int>(Math.Min(a, b), Math.Max(a, b)));
            }
        }
    }
}

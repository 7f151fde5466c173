using QuikGraph;
using QuikGraph.Algorithms.Observers;
using QuikGraph.Algorithms.Search;

namespace NetAudit.Circuits.Stages;

/// <summary>
/// How far each stage lies along the signal path: steps from the input to its grid, capacitors and transformers included, never along
/// rails, and through devices only from grid to plate or cathode, so that feedback gives no short cut.
/// </summary>
internal static class StageOrder
{
    private const int Root = -1;

    public static void Measure(
        StageGraph graph,
        IReadOnlySet<int> supply,
        IReadOnlyList<StageDraft> stages
    )
    {
        var steps = Steps(graph, supply);
        foreach (var stage in stages.Where(stage => stage.Kind != StageKind.Supply))
        {
            // A grid at AC ground (a common-grid stage, the cold side of a pair) is not where the signal enters.
            var entries =
                stage.Kind == StageKind.Active
                    ? stage.Devices.Select(device => device.Grid)
                    : stage.Nodes;
            var reached = entries.Where(steps.ContainsKey).ToArray();
            if (reached.Length == 0)
            {
                reached = [.. stage.Nodes.Where(steps.ContainsKey)];
            }
            if (reached.Length > 0)
            {
                stage.Input = reached.MinBy(node => steps[node]);
                stage.Depth = steps[stage.Input];
            }
        }
    }

    private static Dictionary<int, double> Steps(StageGraph graph, IReadOnlySet<int> supply)
    {
        var paths = new AdjacencyGraph<int, SEdge<int>>();
        paths.AddVertex(Root);
        paths.AddVertexRange(graph.Circuit.Nodes.Select(node => node.Index).Where(IsSignal));
        foreach (var link in graph.Links.Where(link => link.Kind != LinkKind.Source))
        {
            Join(link.A, link.B);
            Join(link.B, link.A);
        }
        foreach (var device in graph.Devices)
        {
            Join(device.Grid, device.Plate);
            Join(device.Grid, device.Cathode);
            Join(device.Cathode, device.Plate);
        }
        foreach (var coupling in graph.Circuit.Elements.OfType<Coupling>())
        {
            foreach (var from in graph.Circuit.Elements[coupling.First].Terminals)
            {
                foreach (var to in graph.Circuit.Elements[coupling.Second].Terminals)
                {
                    Join(from.Node, to.Node);
                    Join(to.Node, from.Node);
                }
            }
        }
        foreach (var node in Inputs(graph).Where(IsSignal))
        {
            paths.AddEdge(new SEdge<int>(Root, node));
        }
        var search = new BreadthFirstSearchAlgorithm<int, SEdge<int>>(paths);
        var distances = new VertexDistanceRecorderObserver<int, SEdge<int>>(_ => 1);
        using (distances.Attach(search))
        {
            search.Compute(Root);
        }
        return new Dictionary<int, double>(distances.Distances);

        bool IsSignal(int node) => node > 0 && !supply.Contains(node);

        void Join(int from, int to)
        {
            if (from != to && IsSignal(from) && IsSignal(to))
            {
                paths.AddEdge(new SEdge<int>(from, to));
            }
        }
    }

    // The sheet's signal source is a fixture too. Sources that give no AC are inputs that nothing is plugged into.
    private static IEnumerable<int> Inputs(StageGraph graph) =>
        graph
            .Links.Where(link =>
                link.Kind == LinkKind.Source && graph.Fixtures.Contains(link.Element)
            )
            .SelectMany(link => new[] { link.A, link.B });
}

using QuikGraph;
using QuikGraph.Algorithms;
using QuikGraph.Algorithms.Observers;
using QuikGraph.Algorithms.ShortestPath;

namespace NetAudit.Circuits.Stages;

/// <summary>
/// Gives every node its stage. Electrode nodes belong to their device, plates and cathodes before grids; the windings of a
/// transformer to what drives it; every other node to the electrode that is nearest by resistance, rails and chassis set aside. A
/// network in front of a grid that holds a potentiometer or three signal capacitors is a stage of its own.
/// </summary>
internal sealed class NodeOwners
{
    private const int Root = -1;
    private const int NetworkCapacitors = 3;

    private readonly StageGraph graph;
    private readonly IReadOnlySet<int> supply;
    private readonly List<StageDraft> stages;
    private readonly Dictionary<int, StageDraft> owners = [];
    private readonly HashSet<int> controls;
    private readonly List<(int Node, int Seed, StageDraft Owner)> claimed = [];

    private NodeOwners(StageGraph graph, IReadOnlySet<int> supply, List<StageDraft> stages)
    {
        this.graph = graph;
        this.supply = supply;
        this.stages = stages;
        controls =
        [
            .. graph
                .Parts.Where(part => part.Class == PartClass.Potentiometer)
                .SelectMany(part => part.Elements),
        ];
    }

    /// <summary>Owner by node; adds networks to the stages.</summary>
    public static Dictionary<int, StageDraft> Find(
        StageGraph graph,
        IReadOnlySet<int> supply,
        List<StageDraft> stages
    )
    {
        var finder = new NodeOwners(graph, supply, stages);
        var active = stages.Where(stage => stage.Kind == StageKind.Active).ToArray();
        finder.ClaimElectrodes(active);
        finder.ClaimWindings(active);
        finder.FindNetworks();
        finder.ClaimGrids(active);
        finder.ClaimNearest();
        finder.MoveSlopes();
        finder.ClaimByCapacitors();
        foreach (var (node, owner) in finder.owners)
        {
            owner.Nodes.Add(node);
        }
        return finder.owners;
    }

    private bool IsSignal(int node) => node > 0 && !supply.Contains(node);

    private void Claim(StageDraft stage, int node, bool isOutput = false)
    {
        if (IsSignal(node) && owners.TryAdd(node, stage) && isOutput)
        {
            stage.Outputs.Add(node);
        }
    }

    private void ClaimElectrodes(StageDraft[] active)
    {
        foreach (var stage in active)
        {
            foreach (var device in stage.Devices)
            {
                // A plate on a rail makes the cathode the output.
                var isFollower = !IsSignal(device.Plate);
                Claim(stage, device.Plate, isOutput: true);
                Claim(stage, device.Cathode, isOutput: isFollower);
                Claim(stage, device.Screen);
            }
        }
    }

    private void ClaimWindings(StageDraft[] active)
    {
        var circuit = graph.Circuit;
        var windings = graph
            .Links.Where(link => circuit.Elements[link.Element] is Inductor)
            .SelectMany(link => new[] { link.A, link.B })
            .Select(node => (Node: node, At: DeviceGroups.TransformersAt(graph, node).ToArray()))
            .ToArray();
        foreach (var stage in active)
        {
            var driven = stage
                .Devices.SelectMany(device => DeviceGroups.TransformersAt(graph, device.Plate))
                .ToHashSet();
            // A winding that feeds a grid (an interstage transformer's secondary) is still what the driver puts out.
            foreach (var (node, at) in windings)
            {
                if (at.Any(driven.Contains))
                {
                    Claim(stage, node, isOutput: true);
                }
            }
        }
    }

    private void FindNetworks()
    {
        foreach (var island in Islands(node => IsSignal(node) && !owners.ContainsKey(node)))
        {
            var links = island.SelectMany(graph.LinksAt).ToHashSet();
            var capacitors = links.Count(link =>
                link.Kind == LinkKind.Capacitive && IsSignal(link.A) && IsSignal(link.B)
            );
            var isNetwork =
                capacitors >= NetworkCapacitors
                || links.Any(link => controls.Contains(link.Element));
            var devices = island.SelectMany(graph.DevicesAt).Distinct().ToArray();
            var own = island.Where(node => !graph.DevicesAt(node).Any()).ToArray();
            if (!isNetwork || own.Length == 0 || HangsOnCathode(island))
            {
                continue;
            }
            var network = new StageDraft(StageKind.Network, [.. devices]);
            stages.Add(network);
            foreach (var node in own)
            {
                Claim(network, node);
            }
        }
    }

    // What carries a cathode's current is that device's, whatever controls it holds.
    private bool HangsOnCathode(IReadOnlyList<int> island) =>
        island.Any(node =>
            graph
                .DirectLinksAt(node)
                .Select(link => link.Other(node))
                .Any(other =>
                    owners.TryGetValue(other, out var owner) && !owner.Outputs.Contains(other)
                )
        );

    private void ClaimGrids(StageDraft[] active)
    {
        foreach (var stage in active)
        {
            foreach (var device in stage.Devices)
            {
                Claim(stage, device.Grid);
            }
        }
    }

    private void ClaimNearest()
    {
        var nodes = graph.Circuit.Nodes.Where(node => !node.Internal).Select(node => node.Index);
        var paths = new UndirectedGraph<int, STaggedUndirectedEdge<int, double>>();
        paths.AddVertex(Root);
        paths.AddVertexRange(nodes.Where(IsSignal));
        foreach (var node in owners.Keys)
        {
            paths.AddEdge(new(Root, node, 0));
        }
        foreach (var link in graph.Links.Where(link => link.Kind == LinkKind.Direct))
        {
            if (IsSignal(link.A) && IsSignal(link.B) && link.A != link.B)
            {
                paths.AddEdge(new(Math.Min(link.A, link.B), Math.Max(link.A, link.B), link.Size));
            }
        }
        var nearest = new UndirectedDijkstraShortestPathAlgorithm<
            int,
            STaggedUndirectedEdge<int, double>
        >(paths, edge => edge.Tag);
        var predecessors =
            new UndirectedVertexPredecessorRecorderObserver<
                int,
                STaggedUndirectedEdge<int, double>
            >();
        using (predecessors.Attach(nearest))
        {
            nearest.Compute(Root);
        }
        foreach (
            var node in paths.Vertices.Where(node => node != Root && !owners.ContainsKey(node))
        )
        {
            if (
                predecessors.TryGetPath(node, out var path)
                && path.First() is var first
                && owners.TryGetValue(Math.Max(first.Source, first.Target), out var owner)
            )
            {
                claimed.Add((node, Math.Max(first.Source, first.Target), owner));
            }
        }
        foreach (var (node, seed, owner) in claimed)
        {
            Claim(owner, node, owner.Outputs.Contains(seed));
        }
    }

    // The far end of a tone network's slope resistor hangs on a plate as far as DC goes; its capacitors lead into the network.
    private void MoveSlopes()
    {
        foreach (var (node, _, owner) in claimed)
        {
            var networks = graph
                .LinksAt(node)
                .Where(link => link.Kind == LinkKind.Capacitive)
                .Select(link => owners.GetValueOrDefault(link.Other(node)))
                .Distinct()
                .ToArray();
            if (
                networks is [{ Kind: StageKind.Network } network]
                && network != owner
                && graph.DirectLinksAt(node).Count() == 1
            )
            {
                owners[node] = network;
                owner.Outputs.Remove(node);
            }
        }
    }

    // What no device reaches by DC joins a neighbour across its capacitors (an input coupling capacitor, an output jack).
    private void ClaimByCapacitors()
    {
        var islands = Islands(node => IsSignal(node) && !owners.ContainsKey(node)).ToList();
        var before = -1;
        while (islands.Count != before)
        {
            before = islands.Count;
            islands.RemoveAll(island =>
            {
                var neighbour = island
                    .SelectMany(node => graph.LinksAt(node).Select(link => link.Other(node)))
                    .Select(node => owners.GetValueOrDefault(node))
                    .FirstOrDefault(owner => owner is not null);
                foreach (var node in neighbour is null ? [] : island)
                {
                    Claim(neighbour!, node);
                }
                return neighbour is not null;
            });
        }
        foreach (var island in islands)
        {
            // Nothing leads there from any device: a network by itself.
            var network = new StageDraft(StageKind.Network, []);
            stages.Add(network);
            foreach (var node in island)
            {
                Claim(network, node);
            }
        }
    }

    /// <summary>Sets of nodes joined by direct links among the nodes that are meant, in node order.</summary>
    private IEnumerable<IReadOnlyList<int>> Islands(Func<int, bool> isMeant)
    {
        var direct = new UndirectedGraph<int, SUndirectedEdge<int>>();
        direct.AddVertexRange(
            graph
                .Circuit.Nodes.Where(node => !node.Internal && isMeant(node.Index))
                .Select(node => node.Index)
        );
        foreach (var link in graph.Links.Where(link => link.Kind == LinkKind.Direct))
        {
            if (isMeant(link.A) && isMeant(link.B) && link.A != link.B)
            {
                direct.AddEdge(new(Math.Min(link.A, link.B), Math.Max(link.A, link.B)));
            }
        }
        var component = new Dictionary<int, int>();
        direct.ConnectedComponents(component);
        return
        [
            .. component
                .GroupBy(pair => pair.Value, pair => pair.Key)
                .Select(group => group.Order().ToArray())
                .OrderBy(island => island[0]),
        ];
    }
}

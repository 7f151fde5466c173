namespace NetAudit.Circuits.Stages;

/// <summary>
/// Finds the nodes of the supply. A rail is a node of a grounded DC source, or one reached from a rail through droppers and chokes
/// that holds a filter capacitor or feeds two devices or more; the other side of a series regulator is one too. Nodes that lie between
/// rails and chassis and touch no device belong to the supply as well.
/// </summary>
internal sealed class RailFinder
{
    // Smaller capacitors to chassis are bypasses and filters of the signal: common practice, no source.
    private const double FilterFarads = 1e-6;

    private readonly StageGraph graph;
    private readonly HashSet<int> rails = [];
    private readonly HashSet<ActiveDevice> regulators = [];

    private RailFinder(StageGraph graph) => this.graph = graph;

    /// <summary>Supply nodes, and the devices that regulate.</summary>
    public static (HashSet<int> Nodes, HashSet<ActiveDevice> Regulators) Find(StageGraph graph)
    {
        var finder = new RailFinder(graph);
        finder.AddSources();
        while (finder.AddReached() || finder.AddRegulators()) { }
        finder.AddBetween();
        return (finder.rails, finder.regulators);
    }

    private void AddSources()
    {
        var before = -1;
        // Sources stand on each other's shoulders: repeat until none is added.
        while (before != rails.Count)
        {
            before = rails.Count;
            foreach (var link in graph.Links)
            {
                if (
                    link.Kind != LinkKind.Source
                    || link.Size == 0
                    || graph.Fixtures.Contains(link.Element)
                    || graph.Circuit.Elements[link.Element] is not VoltageSource
                )
                {
                    continue;
                }
                foreach (var node in new[] { link.A, link.B })
                {
                    var other = link.Other(node);
                    if (node != 0 && (other == 0 || rails.Contains(other)))
                    {
                        rails.Add(node);
                    }
                }
            }
        }
    }

    // Filter capacitors are the surest sign, so they go first. What feeds several devices is judged one node at a time, nearest to the
    // rails first: before a dropper's far end is known as a rail, everything beyond it seems to be fed by every node before it.
    private bool AddReached()
    {
        var reached = Reach(rails);
        var found = reached
            .Where(node =>
                IsFiltered(node) && (!HasDevice(node) || (OnlyPlates(node) && Fed(node).Count > 1))
            )
            .ToArray();
        if (found.Length == 0)
        {
            found =
            [
                .. Islands(reached)
                    .Where(place => Fed(place.Island).Count > 1)
                    .Select(place => place.First)
                    .Take(1),
            ];
        }
        rails.UnionWith(found);
        return found.Length > 0;
    }

    private bool AddRegulators()
    {
        var reached = Reach(rails).Concat(rails).ToHashSet();
        foreach (var device in graph.Devices)
        {
            if (
                !regulators.Contains(device)
                && reached.Contains(device.Plate)
                && device.Cathode > 0
                && !rails.Contains(device.Cathode)
                && IsFiltered(device.Cathode)
                && Fed(device.Cathode).Count(fed => fed != device) > 1
            )
            {
                regulators.Add(device);
                rails.Add(device.Cathode);
                return true;
            }
        }
        return false;
    }

    private void AddBetween()
    {
        foreach (var (_, island) in Islands(Reach(rails)))
        {
            if (
                !island.Any(HasDevice)
                && island
                    .SelectMany(graph.LinksAt)
                    .SelectMany(link => new[] { link.A, link.B })
                    .All(end => end == 0 || rails.Contains(end) || island.Contains(end))
            )
            {
                rails.UnionWith(island);
            }
        }
    }

    /// <summary>
    /// Nodes reached from rails through direct links, nearest first, up to and with nodes that hold an electrode; rails themselves not.
    /// </summary>
    private List<int> Reach(IEnumerable<int> from)
    {
        var reached = new List<int>();
        var known = new HashSet<int>();
        var open = new Queue<int>(from);
        while (open.TryDequeue(out var node))
        {
            foreach (var link in graph.DirectLinksAt(node))
            {
                var next = link.Other(node);
                if (next == 0 || rails.Contains(next) || !known.Add(next))
                {
                    continue;
                }
                reached.Add(next);
                if (!HasDevice(next))
                {
                    open.Enqueue(next);
                }
            }
        }
        return reached;
    }

    /// <summary>
    /// The island of each node that holds no electrode, with its first node, each island once: all such nodes of an island have the same.
    /// </summary>
    private IEnumerable<(int First, HashSet<int> Island)> Islands(IEnumerable<int> nodes)
    {
        var seen = new HashSet<int>();
        foreach (var node in nodes)
        {
            if (!HasDevice(node) && !seen.Contains(node))
            {
                var island = Island(node);
                seen.UnionWith(island);
                yield return (node, island);
            }
        }
    }

    /// <summary>The devices that a node feeds: through direct links, not past rails, chassis or electrodes.</summary>
    private HashSet<ActiveDevice> Fed(int node) => Fed(Island(node));

    private HashSet<ActiveDevice> Fed(HashSet<int> island) =>
        [.. island.SelectMany(graph.DevicesAt).Where(device => !regulators.Contains(device))];

    private HashSet<int> Island(int node)
    {
        var island = new HashSet<int> { node };
        var open = new Stack<int>(island);
        while (open.TryPop(out var at))
        {
            foreach (var link in graph.DirectLinksAt(at))
            {
                var next = link.Other(at);
                if (next == 0 || rails.Contains(next) || !island.Add(next))
                {
                    continue;
                }
                if (!HasDevice(next))
                {
                    open.Push(next);
                }
            }
        }
        return island;
    }

    private bool HasDevice(int node) =>
        graph.DevicesAt(node).Any(device => !regulators.Contains(device));

    private bool OnlyPlates(int node) =>
        graph
            .DevicesAt(node)
            .Except(regulators)
            .All(device => device.Grid != node && device.Cathode != node);

    private bool IsFiltered(int node) =>
        graph
            .LinksAt(node)
            .Any(link =>
                link.Kind == LinkKind.Capacitive
                && link.Size >= FilterFarads
                && (link.Other(node) == 0 || rails.Contains(link.Other(node)))
            );
}

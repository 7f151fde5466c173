using NetAudit.Circuits;
using NetAudit.Circuits.Stages;
using QuikGraph;
using QuikGraph.Algorithms;
using QuikGraph.Algorithms.Search;
using QuikGraph.Predicates;

namespace NetAudit.Audits.Findings;

/// <summary>Paths that DC needs: to chassis, from a control electrode, from a cathode.</summary>
internal static class PathChecks
{
    private const int MostNamed = 8;

    public static void Run(AuditContext context)
    {
        var grids = context
            .Amplifier.Parts.SelectMany(part => part.Sections)
            .Select(section => section.Grid)
            .Where(pin => pin >= 0)
            .ToHashSet();
        var held = context.Wiring.Graph(element =>
            Conduction.WithoutControls(element, grids.Contains)
        );
        CheckIslands(context);
        CheckControls(context, held);
        CheckCathodes(context, held);
    }

    private static void CheckIslands(AuditContext context)
    {
        var component = Components(context.Wiring.Graph(Conduction.Any));
        var controls = context.Wiring.Devices.Select(device => device.Grid).ToHashSet();
        var driven = context
            .Circuit.Elements.OfType<CurrentSource>()
            .SelectMany(source => source.Terminals.Select(end => (component[end.Node], source)))
            .ToLookup(pair => pair.Item1, pair => pair.source);
        var islands = context
            .Circuit.Nodes.Where(node => !node.Internal && component[node.Index] != component[0])
            .GroupBy(node => component[node.Index], node => node.Index);
        foreach (var island in islands)
        {
            int[] nodes = [.. island];
            var names = Names(context, nodes);
            if (driven[island.Key].FirstOrDefault() is { } source)
            {
                context.Add(
                    "current-cut",
                    source.Name,
                    source.Where,
                    $"the current of {source.Name} has no way from {names} but through capacitors and current sources"
                );
            }
            // A grid without a return and a node with one connection are findings of their own.
            else if (
                !nodes.Any(controls.Contains)
                && nodes.Any(node => context.Wiring.At(node).Count > 1)
            )
            {
                context.Add(
                    "no-dc-path",
                    context.Name(nodes[0]),
                    context.Wiring.Where(nodes[0]),
                    $"no DC path to chassis from {names}"
                );
            }
        }
    }

    private static void CheckControls(
        AuditContext context,
        UndirectedGraph<int, STaggedUndirectedEdge<int, int>> held
    )
    {
        var component = Components(held);
        foreach (var device in context.Wiring.Devices)
        {
            if (device.Grid >= 0 && component[device.Grid] != component[0])
            {
                context.Add(
                    "grid-return",
                    device.Unit,
                    context.Wiring.Where(device),
                    $"the {Control(device)} of {device.Name} (node {context.Name(device.Grid)}) has no DC return"
                );
            }
        }
    }

    private static void CheckCathodes(
        AuditContext context,
        UndirectedGraph<int, STaggedUndirectedEdge<int, int>> held
    )
    {
        foreach (var device in context.Wiring.Devices)
        {
            if (device.Cathode > 0 && !Leads(held, device, context))
            {
                var name = device.IsTube ? "cathode" : "emitter or source";
                context.Add(
                    "cathode-path",
                    device.Unit,
                    context.Wiring.Where(device),
                    $"nothing carries the current of the {name} of {device.Name} (node {context.Name(device.Cathode)}) away"
                );
            }
        }
    }

    // From the cathode to chassis by any way but the device itself.
    private static bool Leads(
        UndirectedGraph<int, STaggedUndirectedEdge<int, int>> held,
        ActiveDevice device,
        AuditContext context
    )
    {
        var elements = context.Circuit.Elements;
        var own = context.Wiring.OwnerOf(device);
        var others = new FilteredUndirectedGraph<
            int,
            STaggedUndirectedEdge<int, int>,
            UndirectedGraph<int, STaggedUndirectedEdge<int, int>>
        >(held, _ => true, edge => (elements[edge.Tag].Device ?? elements[edge.Tag].Name) != own);
        var search = new UndirectedBreadthFirstSearchAlgorithm<
            int,
            STaggedUndirectedEdge<int, int>
        >(others);
        var reached = false;
        search.DiscoverVertex += node =>
        {
            if (node == 0)
            {
                reached = true;
                search.Abort();
            }
        };
        search.Compute(device.Cathode);
        return reached;
    }

    private static Dictionary<int, int> Components(
        UndirectedGraph<int, STaggedUndirectedEdge<int, int>> graph
    )
    {
        var component = new Dictionary<int, int>();
        graph.ConnectedComponents(component);
        return component;
    }

    private static string Control(ActiveDevice device) => device.IsTube ? "grid" : "base or gate";

    private static string Names(AuditContext context, int[] nodes)
    {
        var names = string.Join(", ", nodes.Take(MostNamed).Select(context.Name));
        return nodes.Length > MostNamed ? $"{names} and {nodes.Length - MostNamed} more" : names;
    }
}

using System.Collections.Immutable;
using QuikGraph;
using QuikGraph.Algorithms;

namespace NetAudit.Circuits.Stages;

/// <summary>
/// Devices that work as one stage: those whose plate or cathode currents meet directly in a node that is no rail (long-tailed pairs,
/// shared cathode resistors, cascodes, active loads), whose cathodes meet behind small resistors, whose plates drive one transformer,
/// and transistors whose emitter drives the next one's base.
/// </summary>
internal static class DeviceGroups
{
    // Emitter resistors, not cathode resistors.
    private const double SmallOhms = 1000;

    public static ImmutableArray<ImmutableArray<ActiveDevice>> Find(
        StageGraph graph,
        IReadOnlySet<int> rails,
        IReadOnlySet<ActiveDevice> regulators
    )
    {
        var devices = graph.Devices.Where(device => !regulators.Contains(device)).ToArray();
        var ties = new UndirectedGraph<int, SUndirectedEdge<int>>();
        ties.AddVertexRange(devices.Select(device => device.Index));
        Tie(device => new[] { device.Plate, device.Cathode }.Where(IsSignal));
        Tie(device => BehindSmallResistors(device.Cathode));
        Tie(device => TransformersAt(graph, device.Plate));
        foreach (var follower in devices.Where(device => !device.IsTube && !IsSignal(device.Plate)))
        {
            foreach (
                var next in devices.Where(next => !next.IsTube && next.Grid == follower.Cathode)
            )
            {
                ties.AddEdge(
                    new SUndirectedEdge<int>(
                        Math.Min(follower.Index, next.Index),
                        Math.Max(follower.Index, next.Index)
                    )
                );
            }
        }
        var component = new Dictionary<int, int>();
        ties.ConnectedComponents(component);
        return
        [
            .. devices
                .GroupBy(device => component[device.Index])
                .Select(group => group.ToImmutableArray()),
        ];

        bool IsSignal(int node) => node > 0 && !rails.Contains(node);

        IEnumerable<int> BehindSmallResistors(int cathode) =>
            IsSignal(cathode)
                ? graph
                    .DirectLinksAt(cathode)
                    .Where(link =>
                        link.Size <= SmallOhms && graph.Circuit.Elements[link.Element] is Resistor
                    )
                    .Select(link => link.Other(cathode))
                    .Where(node => IsSignal(node) && !graph.DevicesAt(node).Any())
                : [];

        // Devices that share any of the places given are tied together.
        void Tie(Func<ActiveDevice, IEnumerable<int>> places)
        {
            foreach (
                var group in devices
                    .SelectMany(device =>
                        places(device).Distinct().Select(place => (place, device))
                    )
                    .GroupBy(pair => pair.place, pair => pair.device.Index)
            )
            {
                var members = group.Order().ToArray();
                for (var i = 1; i < members.Length; i++)
                {
                    ties.AddEdge(new SUndirectedEdge<int>(members[i - 1], members[i]));
                }
            }
        }
    }

    /// <summary>
    /// Transformers that a node drives, by the index of their first winding: windings at the node itself, or behind a resistor whose
    /// other end meets nothing else (the winding's copper).
    /// </summary>
    public static IEnumerable<int> TransformersAt(StageGraph graph, int node)
    {
        if (node <= 0)
        {
            yield break;
        }
        foreach (var link in graph.DirectLinksAt(node))
        {
            if (graph.TransformerOf(link.Element) is { } direct)
            {
                yield return direct;
            }
            var behind = link.Other(node);
            if (
                behind != 0
                && graph.LinksAt(behind).ToArray() is [var first, var second]
                && graph.TransformerOf(first == link ? second.Element : first.Element) is { } copper
            )
            {
                yield return copper;
            }
        }
    }
}

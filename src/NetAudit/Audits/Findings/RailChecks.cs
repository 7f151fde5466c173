using NetAudit.Circuits;
using NetAudit.Circuits.Stages;

namespace NetAudit.Audits.Findings;

/// <summary>Supply rails that no capacitor holds.</summary>
internal static class RailChecks
{
    // Less than this holds no rail: common practice, no source.
    private const double LeastFarads = 1e-7;

    // A rail this near to an ideal source (a fuse, a switch) needs no capacitor of its own: common practice, no source.
    private const double NearOhms = 10;

    public static void Run(AuditContext context)
    {
        var stiff = Stiff(context);
        foreach (var rail in context.Rails.Where(node => !stiff.Contains(node)).Order())
        {
            var fed = Fed(context, rail);
            if (fed.Count > 0 && !IsHeld(context, rail))
            {
                var names = string.Join(
                    ", ",
                    fed.Select(device => device.Name).Order(StringComparer.Ordinal)
                );
                context.Add(
                    "no-reservoir",
                    context.Name(rail),
                    context.Wiring.Where(rail),
                    $"no capacitor holds the rail {context.Name(rail)}, which feeds {names}"
                );
            }
        }
    }

    // Nodes whose voltage an ideal source sets, directly or through next to nothing.
    private static HashSet<int> Stiff(AuditContext context)
    {
        var reached = new HashSet<int> { 0 };
        var open = new Queue<int>(reached);
        while (open.TryDequeue(out var node))
        {
            foreach (var link in context.Stages.LinksAt(node))
            {
                var isStiff =
                    context.Circuit.Elements[link.Element] is VoltageSource
                    || (
                        node != 0
                        && link.Kind == LinkKind.Direct
                        && context.Circuit.Elements[link.Element] is Resistor { Ohms: < NearOhms }
                    );
                if (isStiff && reached.Add(link.Other(node)))
                {
                    open.Enqueue(link.Other(node));
                }
            }
        }
        return reached;
    }

    private static bool IsHeld(AuditContext context, int rail) =>
        context
            .Stages.LinksAt(rail)
            .Any(link =>
                link is { Kind: LinkKind.Capacitive, Size: >= LeastFarads }
                && (link.Other(rail) == 0 || context.Rails.Contains(link.Other(rail)))
            );

    // Devices whose plate, screen or collector the rail feeds, not past another rail.
    private static HashSet<ActiveDevice> Fed(AuditContext context, int rail)
    {
        var fed = new HashSet<ActiveDevice>();
        var seen = new HashSet<int> { rail };
        var open = new Queue<int>(seen);
        while (open.TryDequeue(out var node))
        {
            var here = context
                .Stages.DevicesAt(node)
                .Except(context.Regulators)
                .Where(device => device.Plate == node || device.Screen == node)
                .ToArray();
            fed.UnionWith(here);
            if (context.Stages.DevicesAt(node).Except(context.Regulators).Any())
            {
                continue;
            }
            foreach (var link in context.Stages.DirectLinksAt(node))
            {
                var next = link.Other(node);
                if (next != 0 && !context.Rails.Contains(next) && seen.Add(next))
                {
                    open.Enqueue(next);
                }
            }
        }
        return fed;
    }
}

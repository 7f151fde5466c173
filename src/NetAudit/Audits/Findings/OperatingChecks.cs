using NetAudit.Circuits;
using NetAudit.Circuits.Stages;
using NetAudit.Common;
using QuikGraph.Algorithms;

namespace NetAudit.Audits.Findings;

/// <summary>What only the operating point shows: grids that conduct, electrolytics the wrong way round.</summary>
internal static class OperatingChecks
{
    // A grid this far above its cathode draws current that no design means: common practice, no source.
    private const double MostGridVolts = 0.3;

    // A junction FET's gate conducts from about here up: common practice, no source.
    private const double MostGateVolts = 0.4;

    // Aluminium electrolytics take small reverse voltages without harm: common practice, no source.
    private const double MostReverseVolts = 0.5;

    public static void Run(AuditContext context)
    {
        if (context.Volts is not { } volts)
        {
            context.Add(
                "no-operating-point",
                "circuit",
                context.Unsettled?.Where,
                $"{context.Unsettled?.Message} DC on grids and the polarity of electrolytics were not looked at",
                context.Unsettled?.Mend
            );
            return;
        }
        foreach (var device in context.Wiring.Devices)
        {
            CheckGrid(context, device, volts);
        }
        foreach (var part in context.Amplifier.Parts)
        {
            if (part.Class == PartClass.Electrolytic)
            {
                CheckPolarity(context, part, volts);
            }
        }
    }

    private static void CheckGrid(AuditContext context, ActiveDevice device, double[] volts)
    {
        if (device.Grid < 0 || device.Cathode < 0)
        {
            return;
        }
        var (limit, sign) =
            device.IsTube ? (MostGridVolts, 1)
            : context.Circuit.Elements[context.Circuit.FindElement(context.Wiring.OwnerOf(device))]
                is JunctionFet fet
                ? (MostGateVolts, fet.Model.Kind == "pjf" ? -1 : 1)
            : (double.PositiveInfinity, 1);
        var above = sign * (volts[device.Grid] - volts[device.Cathode]);
        if (above > limit)
        {
            var from = PathOf(context, device, volts);
            context.Add(
                "dc-on-grid",
                device.Unit,
                context.Wiring.Where(device),
                $"the grid of {device.Name} (node {context.Name(device.Grid)}) stands {EngineeringNotation.Format(above, "V", 3)} above its cathode{from}"
            );
        }
    }

    // The path of least resistance from the grid to where the voltage comes from.
    private static string PathOf(AuditContext context, ActiveDevice device, double[] volts)
    {
        var elements = context.Circuit.Elements;
        var graph = context.Wiring.Graph(element =>
            element is Resistor or Inductor or Diode && element.Device is null
                ? [(element.Terminals[0].Node, element.Terminals[1].Node)]
                : []
        );
        double Ohms(int element) =>
            elements[element] is Resistor { Ohms: var ohms } ? Math.Abs(ohms) : 1;
        var paths = graph.ShortestPathsDijkstra(edge => Ohms(edge.Tag), device.Grid);
        var ways =
            from node in context
                .Wiring.Devices.Where(other => other != device)
                .Select(other => other.Plate)
                .Concat(context.Rails)
                .Distinct()
            where node > 0 && volts[node] > volts[device.Grid] + MostGridVolts
            let path = paths(node, out var edges) ? edges.Select(edge => edge.Tag).ToArray() : null
            where path is not null
            orderby path.Sum(Ohms), node
            select $": {context.Name(node)} reaches it through {string.Join(", ", path.Select(i => elements[i].Name))}";
        return ways.FirstOrDefault("");
    }

    private static void CheckPolarity(AuditContext context, Part part, double[] volts)
    {
        foreach (
            var capacitor in part
                .Elements.Select(i => context.Circuit.Elements[i])
                .OfType<Capacitor>()
        )
        {
            var (plus, minus) = (capacitor.Terminals[0].Node, capacitor.Terminals[1].Node);
            var across = volts[plus] - volts[minus];
            if (across < -MostReverseVolts)
            {
                context.Add(
                    "wrong-polarity",
                    part.Name,
                    capacitor.Where,
                    $"{capacitor.Name} has {context.Name(plus)} as its positive end, which stands {EngineeringNotation.Format(-across, "V", 3)} below {context.Name(minus)}"
                );
            }
        }
    }
}

using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>
/// The resistance from each grid to its DC return: that of the circuit's resistors and windings alone, every source of voltage a short and
/// every tube and transistor out, against the limit of the data sheet for how the tube is biased.
/// </summary>
internal static class GridLeaks
{
    // A tube is cathode-biased when its cathode resistor makes at least this part of its bias (common practice, no source).
    private const double LeastOwnBias = 0.5;

    private const double ProbeAmps = 1e-6;

    /// <summary>The stresses and their ohms.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="idle">Its operating point.</param>
    public static ImmutableArray<(StressItem Item, double Ohms)> Find(
        Amplifier amplifier,
        Workspace idle
    )
    {
        var circuit = amplifier.Circuit;
        var passive = circuit with
        {
            Elements = [.. circuit.Elements.Select(Passive).OfType<Element>()],
        };
        if (passive.Elements.IsEmpty)
        {
            return [];
        }
        var workspace = new Workspace(CompiledCircuit.Compile(passive));
        var found = ImmutableArray.CreateBuilder<(StressItem, double)>();
        foreach (var part in amplifier.Parts.Where(part => part.TubeType is not null))
        {
            foreach (var section in part.Sections.Where(s => s is { Grid: >= 0, Cathode: >= 0 }))
            {
                var grid = circuit.Pins[section.Grid].Node;
                workspace.Restore();
                workspace.Inject(0, grid, ProbeAmps);
                if (grid == 0 || !workspace.Solve([]).Converged)
                {
                    continue;
                }
                var ohms = workspace.Volts[grid] / ProbeAmps;
                var cathode = circuit.Pins[section.Cathode].Node;
                var bias = idle.Volts[cathode] - idle.Volts[grid];
                var isOwn = idle.Volts[cathode] > LeastOwnBias * bias;
                var rating = isOwn ? "grid_ohms_max_cathode_bias" : "grid_ohms_max_fixed_bias";
                var limit = part.TubeType!.Ratings.TryGetValue(rating, out var known)
                    ? known
                    : (double?)null;
                var source = limit is null
                    ? ""
                    : $"{part.TubeType.Name} data sheet, {(isOwn ? "cathode" : "fixed")} bias";
                found.Add(
                    (
                        new(TubeStresses.NameOf(part, section), StressKind.GridLeak, limit, source),
                        ohms
                    )
                );
            }
        }
        return found.ToImmutable();
    }

    // Folded inductors would be loops beside shorted sources; a winding is its copper here.
    private static Element? Passive(Element element) =>
        element switch
        {
            { Device: not null } => null,
            Resistor resistor => resistor,
            Inductor inductor => Wire(inductor),
            VoltageSource source => Wire(source),
            _ => null,
        };

    private static Resistor Wire(Element element) =>
        new(element.Name, element.Terminals, WireOhms, element.Where);

    private const double WireOhms = 1e-3;
}

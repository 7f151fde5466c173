using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Simulation.Compilation;

/// <summary>
/// Finds loops of ideal voltage sources and inductors whose volts do not add up to zero: no finite current settles them, so the circuit
/// has no operating point.
/// </summary>
internal static class SourceLoops
{
    /// <summary>Volts around a loop below this, relative to the larger source, are rounding.</summary>
    private const double Rounding = 1e-9;

    /// <summary>What is at odds, at the card that closes the loop, or null.</summary>
    public static Diagnostic? FindContradiction(Circuit circuit)
    {
        // A forest over the nodes: each node's volts above its parent as far as ideal sources fix them.
        var parent = new int[circuit.Nodes.Length];
        var volts = new double[parent.Length];
        for (var i = 0; i < parent.Length; i++)
        {
            parent[i] = i;
        }
        foreach (var element in circuit.Elements)
        {
            double? across = element switch
            {
                VoltageSource { Supply: null } source => source.Stimulus.Dc,
                Inductor => 0,
                _ => null,
            };
            if (across is not { } fixedVolts)
            {
                continue;
            }
            var (a, aboveA) = Root(element.Terminals[0].Node);
            var (b, aboveB) = Root(element.Terminals[1].Node);
            if (a != b)
            {
                parent[a] = b;
                volts[a] = fixedVolts + aboveB - aboveA;
                continue;
            }
            var mismatch = aboveA - aboveB - fixedVolts;
            var scale = Math.Max(1, Math.Max(Math.Abs(fixedVolts), Math.Abs(aboveA - aboveB)));
            if (Math.Abs(mismatch) > Rounding * scale)
            {
                return new(
                    Severity.Error,
                    element.Where,
                    FormattableString.Invariant(
                        $"{element.Name} closes a loop of ideal sources and inductors whose volts do not add up to zero ({mismatch:G4} V left over)."
                    ),
                    "give one of them a series resistance"
                );
            }
        }
        return null;

        (int Root, double Above) Root(int node)
        {
            var root = node;
            var above = 0.0;
            for (; parent[root] != root; root = parent[root])
            {
                above += volts[root];
            }
            // Shorten the way for the next asker: long chains of chokes would else cost their square.
            var rest = above;
            while (parent[node] != root && node != root)
            {
                var (next, step) = (parent[node], volts[node]);
                (parent[node], volts[node]) = (root, rest);
                rest -= step;
                node = next;
            }
            return (root, above);
        }
    }
}

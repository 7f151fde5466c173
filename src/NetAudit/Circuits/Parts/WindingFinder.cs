using System.Collections.Immutable;
using QuikGraph;
using QuikGraph.Algorithms;

namespace NetAudit.Circuits.Parts;

/// <summary>
/// Chokes and transformers: inductors that K cards couple are the windings of one part, named after what their names share
/// (<c>LT1A LT1S</c> become <c>T1</c>; else the first winding's name). A resistor whose one end meets nothing but an inductor is that
/// winding's copper: it stays a part of its own name, of class winding.
/// </summary>
internal static class WindingFinder
{
    public static void Find(PartCollection parts)
    {
        var circuit = parts.Circuit;
        FindCopper(parts);
        foreach (var windings in Transformers(parts))
        {
            var couplings = Enumerable
                .Range(0, circuit.Elements.Length)
                .Where(i =>
                    circuit.Elements[i] is Coupling coupling && windings.Contains(coupling.First)
                );
            parts.Add(
                Name(parts, windings),
                PartClass.Winding,
                windings.Concat(couplings),
                parts.PinsOf(windings)
            );
        }
    }

    private static IEnumerable<ImmutableArray<int>> Transformers(PartCollection parts)
    {
        var circuit = parts.Circuit;
        var graph = new UndirectedGraph<int, SUndirectedEdge<int>>();
        graph.AddVertexRange(
            Enumerable
                .Range(0, circuit.Elements.Length)
                .Where(i => circuit.Elements[i] is Inductor && parts.IsFree(i))
        );
        foreach (var coupling in circuit.Elements.OfType<Coupling>())
        {
            var low = Math.Min(coupling.First, coupling.Second);
            var high = Math.Max(coupling.First, coupling.Second);
            if (graph.ContainsVertex(low) && graph.ContainsVertex(high))
            {
                graph.AddEdge(new SUndirectedEdge<int>(low, high));
            }
        }
        var component = new Dictionary<int, int>();
        graph.ConnectedComponents(component);
        return component
            .GroupBy(pair => pair.Value, pair => pair.Key)
            .Where(group => group.Count() > 1)
            .Select(group => group.Order().ToImmutableArray());
    }

    private static void FindCopper(PartCollection parts)
    {
        var circuit = parts.Circuit;
        var ends = circuit.Pins.ToLookup(pin => pin.Node, pin => pin.Owner);
        var inductors = circuit.Elements.OfType<Inductor>().Select(coil => coil.Name).ToHashSet();
        for (var i = 0; i < circuit.Elements.Length; i++)
        {
            if (
                parts.IsFree(i)
                && circuit.Elements[i] is Resistor { Device: null } resistor
                && resistor.Terminals.Any(end => MeetsOnlyAWinding(end.Node, resistor.Name))
                && SimpleParts.ClassOf(parts.Sheet, resistor) == PartClass.Resistor
            )
            {
                int[] only = [i];
                parts.Add(resistor.Name, PartClass.Winding, only, parts.PinsOf(only));
            }
        }

        bool MeetsOnlyAWinding(int node, string resistor) =>
            node != 0
            && ends[node].Where(owner => owner != resistor).Take(2).ToArray() is [var other]
            && inductors.Contains(other);
    }

    private static string Name(PartCollection parts, ImmutableArray<int> windings)
    {
        var names = windings.Select(i => parts.Circuit.Elements[i].Name).ToArray();
        var shared = names[0].Length;
        foreach (var name in names)
        {
            var alike = names[0]
                .ToUpperInvariant()
                .Zip(name.ToUpperInvariant())
                .TakeWhile(pair => pair.First == pair.Second)
                .Count();
            shared = Math.Min(shared, alike);
        }
        // LT1A and LT1S: T1. LP and LS share nothing but the letter of the element.
        var stem = names[0][..shared].TrimEnd('_');
        var letter = stem.LastIndexOf('.') + 1;
        return stem.Length > letter + 1 ? parts.Choose(stem.Remove(letter, 1), names[0]) : names[0];
    }
}

using System.Collections.Immutable;
using NetAudit.Circuits;
using QuikGraph;
using QuikGraph.Algorithms;

namespace NetAudit.Audits.Stresses;

/// <summary>A short that fuses are there for.</summary>
/// <param name="Name">What happens, <c>V5 shorted</c>.</param>
/// <param name="A">Node.</param>
/// <param name="B">Node.</param>
internal readonly record struct ShortEvent(string Name, int A, int B);

/// <summary>The shorts whose fuse currents are asked for: output tubes, reservoirs, rectifiers.</summary>
internal static class Shorts
{
    public static ImmutableArray<ShortEvent> Of(Amplifier amplifier) =>
        [.. OutputTubesOf(amplifier), .. Reservoirs(amplifier), .. Rectifiers(amplifier)];

    private static IEnumerable<ShortEvent> OutputTubesOf(Amplifier amplifier)
    {
        var pins = amplifier.Circuit.Pins;
        return OutputTubes
            .Of(amplifier)
            .Select(tube => new ShortEvent(
                $"{TubeStresses.NameOf(tube.Part, tube.Section)} shorted, plate to cathode",
                pins[tube.Section.Plate].Node,
                pins[tube.Section.Cathode].Node
            ));
    }

    // The reservoir of a supply is the electrolytic to chassis with the least resistance to its source.
    private static IEnumerable<ShortEvent> Reservoirs(Amplifier amplifier)
    {
        var elements = amplifier.Circuit.Elements;
        var graph = new UndirectedGraph<int, STaggedUndirectedEdge<int, double>>();
        graph.AddVertexRange(Enumerable.Range(0, amplifier.Circuit.Nodes.Length));
        foreach (var element in elements.Where(element => element is Resistor or Inductor or Diode))
        {
            var (a, b) = (element.Terminals[0].Node, element.Terminals[1].Node);
            // A way through chassis leads nowhere.
            if (a != b && a != 0 && b != 0)
            {
                var ohms = element is Resistor resistor ? Math.Abs(resistor.Ohms) : 1;
                graph.AddEdge(new(Math.Min(a, b), Math.Max(a, b), ohms));
            }
        }
        (Part Part, int Node)[] reservoirs =
        [
            .. from part in amplifier.Parts
            where part.Class == PartClass.Electrolytic
            let ends = elements[part.Elements[0]].Terminals
            where ends[0].Node == 0 != (ends[1].Node == 0)
            select (part, ends[0].Node + ends[1].Node),
        ];
        foreach (var supply in amplifier.Parts.Where(part => part.Class == PartClass.Supply))
        {
            var ends = elements[supply.Elements[0]].Terminals;
            var source = ends[0].Node == 0 ? ends[1].Node : ends[0].Node;
            var ways = graph.ShortestPathsDijkstra(edge => edge.Tag, source);
            var nearest = reservoirs
                .Select(reservoir =>
                    (
                        reservoir.Part,
                        reservoir.Node,
                        Ohms: reservoir.Node == source ? 0
                        : ways(reservoir.Node, out var path) ? path.Sum(edge => edge.Tag)
                        : double.PositiveInfinity
                    )
                )
                .Where(way => double.IsFinite(way.Ohms))
                .OrderBy(way => way.Ohms)
                .FirstOrDefault();
            if (nearest.Part is not null)
            {
                yield return new($"reservoir {nearest.Part.Name} shorted", nearest.Node, 0);
            }
        }
    }

    private static IEnumerable<ShortEvent> Rectifiers(Amplifier amplifier)
    {
        var circuit = amplifier.Circuit;
        foreach (var part in amplifier.Parts.Where(part => part.Class == PartClass.Tube))
        {
            foreach (
                var section in part.Sections.Where(s =>
                    s is { Grid: < 0, Plate: >= 0, Cathode: >= 0 }
                )
            )
            {
                yield return new(
                    $"rectifier {part.Name} shorted",
                    circuit.Pins[section.Plate].Node,
                    circuit.Pins[section.Cathode].Node
                );
            }
        }
        foreach (var part in amplifier.Parts.Where(part => part.Class == PartClass.Diode))
        {
            var ends = circuit.Elements[part.Elements[0]].Terminals;
            if (
                amplifier.StageOf(part.Name) is { IsSupply: true }
                && !SemiconductorStresses.IsZener(circuit.Elements[part.Elements[0]])
            )
            {
                yield return new($"diode {part.Name} shorted", ends[0].Node, ends[1].Node);
            }
        }
    }
}

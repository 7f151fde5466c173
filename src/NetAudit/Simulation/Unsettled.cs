using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Simulation;

/// <summary>Why a solve found no operating point: the nodes furthest from settling, and the cards that meet there.</summary>
internal static class Unsettled
{
    private const int MostNodes = 3;
    private const int MostCards = 4;

    private const string Mend =
        "look at these cards for a wrong connection, a slipped decimal or a device turned round; a .nodeset near the drawn voltage "
        + "helps the search";

    /// <summary>What is wrong, at the first card of the worst node.</summary>
    /// <param name="workspace">A workspace whose last solve failed.</param>
    public static Diagnostic Describe(Workspace workspace)
    {
        if (workspace.Circuit.Topology.Contradiction is { } contradiction)
        {
            return contradiction;
        }
        var circuit = workspace.Circuit.Circuit;
        int[] worst = [.. workspace.WorstNodes().Take(MostNodes)];
        var places = worst.Select(node =>
            $"{circuit.Nodes[node].Name} ({Cards([.. MeetingAt(circuit, node)])})"
        );
        return new(
            Severity.Error,
            worst.SelectMany(node => MeetingAt(circuit, node)).FirstOrDefault()?.Where,
            "The circuit as drawn has no operating point that could be found; the nodes furthest from settling are "
                + $"{string.Join(", ", places)}.",
            Mend
        );
    }

    // Capacitors carry nothing at DC: they cannot keep a node from settling.
    private static IEnumerable<Element> MeetingAt(Circuit circuit, int node) =>
        circuit.Elements.Where(element =>
            element is not Capacitor && element.Terminals.Any(terminal => terminal.Node == node)
        );

    private static string Cards(Element[] elements)
    {
        var named = elements
            .Take(MostCards)
            .Select(element => $"{element.Name} at {element.Where}");
        var more = elements.Length - MostCards;
        return string.Join(", ", more > 0 ? named.Append($"{more} more") : named);
    }
}

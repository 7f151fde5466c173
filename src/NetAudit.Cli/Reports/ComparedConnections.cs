using NetAudit.Audits.Variants;
using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Common;

namespace NetAudit.Cli.Reports;

/// <summary>What is connected or called otherwise, and which matches are doubtful.</summary>
internal static class ComparedConnections
{
    public static void Write(Screen screen, VariantComparison comparison, int index, int most)
    {
        var difference = comparison.Differences[index];
        var letter = VariantNames.Letter(index + 1);
        var matching = difference.Matching;
        var (first, second) = (
            comparison.Variants[0].Circuit,
            comparison.Variants[index + 1].Circuit
        );
        WriteList(
            screen,
            $"Only in A, not in {letter}",
            [.. difference.Removed.Select(unit => Place(matching.First[unit], first))],
            most
        );
        WriteList(
            screen,
            $"Only in {letter}",
            [.. difference.Added.Select(unit => Place(matching.Second[unit], second))],
            most
        );
        WriteList(
            screen,
            $"Connected otherwise in {letter}",
            [
                .. difference
                    .Changed.Where(change => !change.Moved.IsEmpty)
                    .Select(change =>
                        $"{Pair(matching, change.Match)}: "
                        + string.Join(
                            ", ",
                            change.Moved.Select(end =>
                                $"from {Node(first, end.From)} to {Node(second, end.To)}"
                            )
                        )
                    ),
            ],
            most
        );
        WriteList(
            screen,
            $"Called otherwise in {letter}",
            [
                .. difference.RenamedUnits.Select(match => Pair(matching, match)),
                .. difference.RenamedNodes.Select(match =>
                    $"node {Node(first, match.First)} is {Node(second, match.Second)}"
                ),
            ],
            most
        );
        WriteList(
            screen,
            $"Doubtful matches with {letter}",
            [
                .. matching
                    .Units.Where(match => match.Confidence < VariantNames.Sure)
                    .OrderBy(match => match.Confidence)
                    .Select(match =>
                        $"{Pair(matching, match)} ({Figures.Probability(match.Confidence)})"
                    ),
            ],
            most
        );
    }

    private static void WriteList(Screen screen, string heading, string[] items, int most)
    {
        if (items.Length == 0)
        {
            return;
        }
        screen.Heading(heading);
        var rest = items.Length - most;
        screen.Paragraph(
            string.Join("; ", items.Take(most)) + (rest > 0 ? $"; and {rest} more (--all)." : "."),
            "  "
        );
    }

    private static string Place(VariantUnit unit, Circuit circuit) =>
        $"{VariantNames.Of(unit)} {VariantNames.Look(unit)} ({string.Join(", ", unit.Nodes.Select(node => Node(circuit, node)))})";

    private static string Pair(VariantMatching matching, UnitMatch match)
    {
        var (first, second) = (
            matching.First[match.First].Name,
            matching.Second[match.Second].Name
        );
        return first.Equals(second, StringComparison.OrdinalIgnoreCase)
            ? first
            : $"{first} is {second}";
    }

    private static string Node(Circuit circuit, int node) =>
        node == 0 ? "chassis" : circuit.Nodes[node].Name;
}

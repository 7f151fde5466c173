using System.Collections.Immutable;
using NetAudit.Audits.Variants.Matching;

namespace NetAudit.Audits.Variants;

/// <summary>Finds what differs between matched circuits as drawn.</summary>
internal sealed class DifferenceFinder(VariantMatching matching)
{
    private readonly int[] _secondNode = SecondNodes(matching);

    /// <summary>Units without a counterpart, of the first and of the second.</summary>
    public (ImmutableArray<int> Removed, ImmutableArray<int> Added) Unmatched()
    {
        var firsts = matching.Units.Select(match => match.First).ToHashSet();
        var seconds = matching.Units.Select(match => match.Second).ToHashSet();
        return (
            [.. Enumerable.Range(0, matching.First.Length).Where(unit => !firsts.Contains(unit))],
            [.. Enumerable.Range(0, matching.Second.Length).Where(unit => !seconds.Contains(unit))]
        );
    }

    /// <summary>Units that are not the same.</summary>
    public ImmutableArray<UnitChange> Changes() =>
        [
            .. matching
                .Units.Select(Change)
                .Where(change =>
                    change.ValueChanged || change.TypeChanged || !change.Moved.IsEmpty
                ),
        ];

    private UnitChange Change(UnitMatch match)
    {
        var (first, second) = (matching.First[match.First], matching.Second[match.Second]);
        var valueChanged =
            first.Value is { } a
            && second.Value is { } b
            && PairScores.ValueKey(a) != PairScores.ValueKey(b);
        return new(match, valueChanged, first.TypeKey != second.TypeKey, Moved(first, second));
    }

    /// <summary>Ends of the first that no end of the second corresponds to, paired with those that are left there.</summary>
    private ImmutableArray<MovedEnd> Moved(VariantUnit first, VariantUnit second)
    {
        var left = second.Ends.ToList();
        var astray = new List<UnitEnd>();
        foreach (var end in first.Ends)
        {
            if (!left.Remove(end with { Node = _secondNode[end.Node] }))
            {
                astray.Add(end);
            }
        }
        var moved = ImmutableArray.CreateBuilder<MovedEnd>();
        foreach (var end in astray)
        {
            var at = left.FindIndex(other => other.Role == end.Role);
            if (at >= 0)
            {
                moved.Add(new(end.Node, left[at].Node));
                left.RemoveAt(at);
            }
        }
        return moved.ToImmutable();
    }

    private static int[] SecondNodes(VariantMatching matching)
    {
        var nodes = new int[matching.First.SelectMany(unit => unit.Nodes).Append(0).Max() + 1];
        Array.Fill(nodes, -1);
        foreach (var match in matching.Nodes.Where(match => match.First < nodes.Length))
        {
            nodes[match.First] = match.Second;
        }
        return nodes;
    }
}

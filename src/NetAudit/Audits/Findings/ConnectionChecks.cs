using NetAudit.Circuits;

namespace NetAudit.Audits.Findings;

/// <summary>Nodes with one connection, and names that look like slips of others.</summary>
internal static class ConnectionChecks
{
    public static void Run(AuditContext context)
    {
        var plugged = context
            .Amplifier.Sheet.Touches.Select(touch =>
                context.Amplifier.FindPoint(touch.Node)?.Node
                ?? context.Circuit.FindNode(touch.Node)
            )
            .ToHashSet();
        var named = context
            .Circuit.Nodes.Where(node => node is { Index: > 0, Internal: false })
            .ToArray();
        var lone = named
            .Where(node =>
                context.Wiring.At(node.Index).Count == 1 && !plugged.Contains(node.Index)
            )
            .Select(node => node.Index)
            .ToHashSet();
        var likened = CheckNames(context, named, lone);
        foreach (var node in lone.Except(likened).Order())
        {
            var (owner, where) = context.Wiring.At(node)[0];
            context.Add(
                "lone-node",
                context.Name(node),
                where,
                $"only {owner} is at node {context.Name(node)}"
            );
        }
        foreach (var spelling in context.Circuit.Spellings)
        {
            var name = context.Name(spelling.Node);
            context.Add(
                "mixed-case",
                name,
                spelling.Where,
                $"node {name} is written {spelling.Spelling} here"
            );
        }
    }

    // The lone nodes that look like another node: one finding is enough for them.
    private static HashSet<int> CheckNames(AuditContext context, Node[] named, HashSet<int> lone)
    {
        var likened = new HashSet<int>();
        foreach (var (first, second) in AlikeNames.Find(named, lone))
        {
            var meets = context
                .Wiring.At(first.Index)
                .Select(end => end.Owner)
                .Intersect(context.Wiring.At(second.Index).Select(end => end.Owner))
                .Any();
            if (meets)
            {
                continue;
            }
            var (odd, other) = lone.Contains(first.Index) ? (first, second) : (second, first);
            if (lone.Contains(odd.Index) && !likened.Add(odd.Index))
            {
                continue;
            }
            context.Add(
                "near-names",
                odd.Name,
                context.Wiring.Where(odd.Index),
                $"node {odd.Name} may be a slip for {other.Name}: nothing joins the two"
            );
        }
        return likened;
    }
}

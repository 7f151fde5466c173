namespace NetAudit.Netlists.Expressions;

/// <summary>Depth and size of expressions, measured without recursion.</summary>
internal static class ExpressionSize
{
    /// <summary>Longest way from the root to a leaf, counted in nodes.</summary>
    public static int Depth(Expression root) => Measure(root).Depth;

    /// <summary>Longest way from the root to a leaf, and the number of nodes (shared ones as often as they occur), up to <paramref name="most"/>.</summary>
    public static (int Depth, int Nodes) Measure(Expression root, int most = int.MaxValue)
    {
        var open = new Stack<(Expression Expression, int Depth)>();
        open.Push((root, 1));
        var (deepest, nodes) = (0, 0);
        while (open.TryPop(out var top) && nodes < most)
        {
            nodes++;
            deepest = Math.Max(deepest, top.Depth);
            var depth = top.Depth + 1;
            switch (top.Expression)
            {
                case Unary unary:
                    open.Push((unary.Operand, depth));
                    break;
                case Binary binary:
                    open.Push((binary.Left, depth));
                    open.Push((binary.Right, depth));
                    break;
                case Conditional conditional:
                    open.Push((conditional.Condition, depth));
                    open.Push((conditional.Then, depth));
                    open.Push((conditional.Otherwise, depth));
                    break;
                case Call call:
                    foreach (var argument in call.Arguments)
                    {
                        open.Push((argument, depth));
                    }
                    break;
            }
        }
        return (deepest, nodes);
    }
}

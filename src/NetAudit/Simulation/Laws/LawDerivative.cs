namespace NetAudit.Simulation.Laws;

/// <summary>
/// Symbolic partial derivatives, by the chain rule from the leaves up: a branch of a conditional that is not taken can then never spoil
/// the derivative of the one that is. Where a law has a kink or a jump the derivative is that of one side.
/// </summary>
internal sealed class LawDerivative(LawGraph graph, int input)
{
    private readonly Dictionary<int, int> _known = [];

    /// <summary>Id of the derivative of node <paramref name="id"/> by the input.</summary>
    public int Of(int id)
    {
        if (graph.IsFixed(id))
        {
            return graph.Literal(0);
        }
        if (!_known.TryGetValue(id, out var derivative))
        {
            derivative = Derive(id);
            _known.Add(id, derivative);
        }
        return derivative;
    }

    private int Derive(int id)
    {
        var node = graph[id];
        switch (node.Operation)
        {
            case LawOperation.Input:
                return graph.Literal(node.A == input ? 1 : 0);
            case LawOperation.Add:
                return graph.Add(Of(node.A), Of(node.B));
            case LawOperation.Subtract:
                return graph.Subtract(Of(node.A), Of(node.B));
            case LawOperation.Multiply:
                return graph.Add(
                    graph.Multiply(node.A, Of(node.B)),
                    graph.Multiply(node.B, Of(node.A))
                );
            case LawOperation.Divide:
                // (a/b)' = (a' - (a/b) b') / b
                return graph.Divide(
                    graph.Subtract(Of(node.A), graph.Multiply(id, Of(node.B))),
                    node.B
                );
            case LawOperation.Select:
                return graph.Select(node.A, Of(node.B), Of(node.C));
            case LawOperation.Min:
                return graph.Select(
                    graph.Make(LawOperation.LessOrEqual, node.A, node.B),
                    Of(node.A),
                    Of(node.B)
                );
            case LawOperation.Max:
                return graph.Select(
                    graph.Make(LawOperation.Less, node.A, node.B),
                    Of(node.B),
                    Of(node.A)
                );
            case LawOperation.Power:
            case LawOperation.RawPower:
                return Power(id, node);
            case LawOperation.CopySign:
                // |a| with the sign of b.
                return graph.Multiply(
                    graph.Multiply(
                        graph.Make(LawOperation.Sgn, node.A),
                        graph.Make(LawOperation.CopySign, graph.Literal(1), node.B)
                    ),
                    Of(node.A)
                );
            case LawOperation.Atan2:
                return graph.Divide(
                    graph.Subtract(
                        graph.Multiply(node.B, Of(node.A)),
                        graph.Multiply(node.A, Of(node.B))
                    ),
                    graph.AwayFromZero(
                        graph.Add(graph.Multiply(node.A, node.A), graph.Multiply(node.B, node.B))
                    )
                );
            case LawOperation.Modulo:
                return graph.Subtract(
                    Of(node.A),
                    graph.Multiply(
                        graph.Divide(graph.Subtract(node.A, id), graph.AwayFromZero(node.B)),
                        Of(node.B)
                    )
                );
            case LawOperation.SoftRamp:
                return graph.Multiply(Logistic(node.A, node.B), Of(node.A));
            default:
                var slope = Of(node.A);
                return graph.IsLiteral(slope, 0) ? slope : graph.Multiply(Outer(id, node), slope);
        }
    }

    // d|x|^y = |x|^y (y/x dx + ln|x| dy); the quotient is 0 at x = 0 for every y that has a slope there at all.
    private int Power(int id, LawNode node)
    {
        var byBase = graph.Multiply(
            graph.Divide(graph.Multiply(node.B, id), graph.AwayFromZero(node.A)),
            Of(node.A)
        );
        var byExponent = graph.Multiply(
            graph.Multiply(id, graph.Make(LawOperation.Log, node.A)),
            Of(node.B)
        );
        return graph.Add(byBase, byExponent);
    }

    // 1 / (1 + exp(-x)) from e = exp(-|x|).
    private int Logistic(int x, int e) =>
        graph.Divide(
            graph.Select(graph.Make(LawOperation.Less, x, graph.Literal(0)), e, graph.Literal(1)),
            graph.Add(graph.Literal(1), e)
        );

    /// <summary>Derivative of a function of one operand by that operand.</summary>
    private int Outer(int id, LawNode node)
    {
        var x = node.A;
        var one = graph.Literal(1);
        switch (node.Operation)
        {
            case LawOperation.Negate:
                return graph.Literal(-1);
            case LawOperation.AwayFromZero:
                return one;
            case LawOperation.Exp:
                return id;
            case LawOperation.ExpOfMinusAbs:
                return graph.Negate(graph.Multiply(graph.Make(LawOperation.Sgn, x), id));
            case LawOperation.Log:
                return graph.Divide(one, graph.AwayFromZero(x));
            case LawOperation.Log10:
                return graph.Divide(graph.Literal(1 / Math.Log(10)), graph.AwayFromZero(x));
            case LawOperation.Sqrt:
                return graph.Divide(
                    graph.Multiply(graph.Literal(0.5), graph.Make(LawOperation.Sgn, x)),
                    graph.AwayFromZero(id)
                );
            case LawOperation.Sin:
                return graph.Make(LawOperation.Cos, x);
            case LawOperation.Cos:
                return graph.Negate(graph.Make(LawOperation.Sin, x));
            case LawOperation.Tan:
                return graph.Add(one, graph.Multiply(id, id));
            case LawOperation.Asin:
                return InsideUnit(x, ReciprocalRoot(graph.Subtract(one, graph.Multiply(x, x))));
            case LawOperation.Acos:
                return graph.Negate(
                    InsideUnit(x, ReciprocalRoot(graph.Subtract(one, graph.Multiply(x, x))))
                );
            case LawOperation.Atan:
                return graph.Divide(one, graph.Add(one, graph.Multiply(x, x)));
            case LawOperation.Sinh:
                return graph.Make(LawOperation.Cosh, x);
            case LawOperation.Cosh:
                return graph.Make(LawOperation.Sinh, x);
            case LawOperation.Tanh:
                return graph.Subtract(one, graph.Multiply(id, id));
            case LawOperation.Asinh:
                return ReciprocalRoot(graph.Add(one, graph.Multiply(x, x)));
            case LawOperation.Acosh:
                return graph.Select(
                    graph.Make(LawOperation.Less, one, x),
                    ReciprocalRoot(graph.Subtract(graph.Multiply(x, x), one)),
                    graph.Literal(0)
                );
            case LawOperation.Atanh:
                return InsideUnit(
                    x,
                    graph.Divide(one, graph.AwayFromZero(graph.Subtract(one, graph.Multiply(x, x))))
                );
            case LawOperation.Cbrt:
                return graph.Divide(
                    graph.Multiply(graph.Literal(1.0 / 3), id),
                    graph.AwayFromZero(x)
                );
            case LawOperation.Abs:
                return graph.Make(LawOperation.Sgn, x);
            default:
                // Steps, comparisons and roundings: flat wherever they have a slope.
                return graph.Literal(0);
        }
    }

    private int ReciprocalRoot(int x) =>
        graph.Divide(graph.Literal(1), graph.AwayFromZero(graph.Make(LawOperation.Sqrt, x)));

    private int InsideUnit(int x, int derivative) =>
        graph.Select(
            graph.Make(LawOperation.Less, graph.Make(LawOperation.Abs, x), graph.Literal(1)),
            derivative,
            graph.Literal(0)
        );
}

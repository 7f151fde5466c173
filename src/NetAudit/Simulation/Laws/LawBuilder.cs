using NetAudit.Netlists.Expressions;

namespace NetAudit.Simulation.Laws;

/// <summary>Turns expressions into nodes of a <see cref="LawGraph"/>, numbering constants as <see cref="LawShape"/> lists them.</summary>
internal sealed class LawBuilder(LawGraph graph, double celsius)
{
    private readonly List<double> _constants = [];

    public int ConstantCount => _constants.Count;

    /// <summary>Id of the expression's node. Controls are ids of nodes.</summary>
    public int Build(Expression expression, ReadOnlySpan<int> voltages, ReadOnlySpan<int> currents)
    {
        switch (expression)
        {
            case Number number:
                return LawShape.IsLiteral(number.Value)
                    ? graph.Literal(number.Value)
                    : graph.Constant(LawShape.IndexOf(_constants, number.Value));
            case Temperature:
                return graph.Constant(LawShape.IndexOf(_constants, celsius));
            case Time:
                return graph.Literal(0);
            case ControlVoltage control:
                return voltages[control.Index];
            case ControlCurrent control:
                return currents[control.Index];
            case Unary unary:
                var operand = Build(unary.Operand, voltages, currents);
                return unary.Operator == UnaryOperator.Negate
                    ? graph.Negate(operand)
                    : graph.Make(LawOperation.Not, operand);
            case Binary binary:
                var left = Build(binary.Left, voltages, currents);
                var right = Build(binary.Right, voltages, currents);
                return Combine(binary.Operator, left, right);
            case Conditional conditional:
                var condition = Build(conditional.Condition, voltages, currents);
                var then = Build(conditional.Then, voltages, currents);
                var otherwise = Build(conditional.Otherwise, voltages, currents);
                return graph.Select(condition, then, otherwise);
            case Call call:
                var arguments = new int[call.Arguments.Length];
                for (var i = 0; i < arguments.Length; i++)
                {
                    arguments[i] = Build(call.Arguments[i], voltages, currents);
                }
                return Apply(call.Function, arguments);
            default:
                throw new ArgumentException(
                    $"A law cannot hold {expression.GetType().Name} after elaboration.",
                    nameof(expression)
                );
        }
    }

    private int Combine(BinaryOperator operation, int left, int right) =>
        operation switch
        {
            BinaryOperator.Add => graph.Add(left, right),
            BinaryOperator.Subtract => graph.Subtract(left, right),
            BinaryOperator.Multiply => graph.Multiply(left, right),
            BinaryOperator.Divide => Quotient(left, right),
            BinaryOperator.Power => graph.Power(left, right),
            BinaryOperator.Less => graph.Make(LawOperation.Less, left, right),
            BinaryOperator.LessOrEqual => graph.Make(LawOperation.LessOrEqual, left, right),
            BinaryOperator.Greater => graph.Make(LawOperation.Less, right, left),
            BinaryOperator.GreaterOrEqual => graph.Make(LawOperation.LessOrEqual, right, left),
            BinaryOperator.Equal => graph.Make(LawOperation.Equal, left, right),
            BinaryOperator.NotEqual => graph.Make(
                LawOperation.Not,
                graph.Make(LawOperation.Equal, left, right)
            ),
            BinaryOperator.And => graph.Make(LawOperation.And, left, right),
            BinaryOperator.Or => graph.Make(LawOperation.Or, left, right),
            _ => throw new ArgumentOutOfRangeException(nameof(operation), operation, null),
        };

    // A denominator that holds still and is a plain literal needs no guard.
    private int Quotient(int left, int right) =>
        graph.Divide(
            left,
            graph[right].Operation == LawOperation.Literal && graph[right].Literal != 0
                ? right
                : graph.AwayFromZero(right)
        );

    private int Apply(string function, ReadOnlySpan<int> a)
    {
        var zero = graph.Literal(0);
        var one = graph.Literal(1);
        return function switch
        {
            "abs" => graph.Make(LawOperation.Abs, a[0]),
            "sgn" => graph.Make(LawOperation.Sgn, a[0]),
            "sqrt" => graph.Make(LawOperation.Sqrt, a[0]),
            "square" => graph.Multiply(a[0], a[0]),
            "cbrt" => graph.Make(LawOperation.Cbrt, a[0]),
            "exp" => graph.Make(LawOperation.Exp, a[0]),
            "log" => graph.Log(a[0]),
            "log10" => graph.Make(LawOperation.Log10, a[0]),
            "sin" => graph.Make(LawOperation.Sin, a[0]),
            "cos" => graph.Make(LawOperation.Cos, a[0]),
            "tan" => graph.Make(LawOperation.Tan, a[0]),
            "asin" => graph.Make(LawOperation.Asin, a[0]),
            "acos" => graph.Make(LawOperation.Acos, a[0]),
            "atan" => graph.Make(LawOperation.Atan, a[0]),
            "sinh" => graph.Make(LawOperation.Sinh, a[0]),
            "cosh" => graph.Make(LawOperation.Cosh, a[0]),
            "tanh" => graph.Make(LawOperation.Tanh, a[0]),
            "asinh" => graph.Make(LawOperation.Asinh, a[0]),
            "acosh" => graph.Make(LawOperation.Acosh, a[0]),
            "atanh" => graph.Make(LawOperation.Atanh, a[0]),
            "floor" => graph.Make(LawOperation.Floor, a[0]),
            "ceil" => graph.Make(LawOperation.Ceiling, a[0]),
            "int" => graph.Make(LawOperation.Truncate, a[0]),
            "nint" => graph.Make(LawOperation.Nearest, a[0]),
            "u" => graph.Make(LawOperation.Step, a[0]),
            "u2" => Between(a[0], zero, one),
            "uramp" => graph.Make(LawOperation.Max, a[0], zero),
            "eq0" => graph.Make(LawOperation.Equal, a[0], zero),
            "ne0" => graph.Make(LawOperation.Not, graph.Make(LawOperation.Equal, a[0], zero)),
            "gt0" => graph.Make(LawOperation.Less, zero, a[0]),
            "lt0" => graph.Make(LawOperation.Less, a[0], zero),
            "ge0" => graph.Make(LawOperation.LessOrEqual, zero, a[0]),
            "le0" => graph.Make(LawOperation.LessOrEqual, a[0], zero),
            "buf" => graph.Make(LawOperation.Less, graph.Literal(0.5), a[0]),
            "inv" => graph.Make(LawOperation.LessOrEqual, a[0], graph.Literal(0.5)),
            "ddt" => zero,
            "pwr" => graph.Power(a[0], a[1]),
            "pwrs" => graph.Make(LawOperation.CopySign, graph.Power(a[0], a[1]), a[0]),
            "pow" => graph.Make(LawOperation.RawPower, a[0], a[1]),
            "atan2" => graph.Make(LawOperation.Atan2, a[0], a[1]),
            "hypot" => graph.Make(
                LawOperation.Sqrt,
                graph.Add(graph.Multiply(a[0], a[0]), graph.Multiply(a[1], a[1]))
            ),
            "mod" => graph.Make(LawOperation.Modulo, a[0], a[1]),
            "sign" => graph.Make(LawOperation.CopySign, a[0], a[1]),
            "min" => Fold(LawOperation.Min, a),
            "max" => Fold(LawOperation.Max, a),
            "limit" => Between(
                a[0],
                graph.Make(LawOperation.Min, a[1], a[2]),
                graph.Make(LawOperation.Max, a[1], a[2])
            ),
            "table" => Table(a),
            _ => throw new ArgumentException(
                $"The function {function} has no derivative rule.",
                nameof(function)
            ),
        };
    }

    private int Between(int x, int low, int high) =>
        graph.Make(LawOperation.Min, graph.Make(LawOperation.Max, x, low), high);

    private int Fold(LawOperation operation, ReadOnlySpan<int> a)
    {
        var result = a[0];
        foreach (var operand in a[1..])
        {
            result = graph.Make(operation, result, operand);
        }
        return result;
    }

    // A chain of choices from the last segment to the first, so that the first that fits wins.
    private int Table(ReadOnlySpan<int> a)
    {
        var x = a[0];
        var points = a[1..];
        var last = points.Length - points.Length % 2 - 2;
        var result = points[last + 1];
        for (var i = last; i >= 2; i -= 2)
        {
            var (x0, y0, x1, y1) = (points[i - 2], points[i - 1], points[i], points[i + 1]);
            var slope = graph.Divide(
                graph.Subtract(y1, y0),
                graph.AwayFromZero(graph.Subtract(x1, x0))
            );
            var line = graph.Select(
                graph.Make(LawOperation.Less, x0, x1),
                graph.Add(y0, graph.Multiply(slope, graph.Subtract(x, x0))),
                y1
            );
            result = graph.Select(graph.Make(LawOperation.LessOrEqual, x, x1), line, result);
        }
        return graph.Select(graph.Make(LawOperation.LessOrEqual, x, points[0]), points[1], result);
    }
}

using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits.Elaboration;

/// <summary>The function <c>pwl</c>: a <c>table</c> whose first and last line go on beyond its ends, as in ngspice 39 (measured).</summary>
internal static class PiecewiseLinear
{
    /// <summary>The law of <c>pwl(x, x1, y1, …)</c>, given the arguments of the call.</summary>
    public static Expression Law(ImmutableArray<Expression> arguments, SourceSpan where)
    {
        Expression table = new Call("table", arguments, where);
        if (arguments.Length < 5)
        {
            return table;
        }
        var x = arguments[0];
        var last = arguments.Length - 2;
        var before = new Conditional(
            new Binary(BinaryOperator.Less, x, arguments[1], where),
            Line(x, arguments.AsSpan(1, 4), where),
            table,
            where
        );
        return new Conditional(
            new Binary(BinaryOperator.Greater, x, arguments[last], where),
            Line(x, arguments.AsSpan(last - 2, 4), where),
            before,
            where
        );
    }

    /// <summary>The value for known arguments.</summary>
    public static double Value(double[] arguments)
    {
        var x = arguments[0];
        if (arguments.Length < 5 || (x >= arguments[1] && x <= arguments[^2]))
        {
            return BuiltInFunctions.Table(arguments);
        }
        var (x1, y1, x2, y2) =
            x < arguments[1]
                ? (arguments[1], arguments[2], arguments[3], arguments[4])
                : (arguments[^4], arguments[^3], arguments[^2], arguments[^1]);
        return y1 + (y2 - y1) / (x2 - x1) * (x - x1);
    }

    /// <summary>The line through two points: y1 + (y2 - y1) / (x2 - x1) · (x - x1).</summary>
    private static Binary Line(Expression x, ReadOnlySpan<Expression> points, SourceSpan where)
    {
        var (x1, y1, x2, y2) = (points[0], points[1], points[2], points[3]);
        var slope = Join(
            BinaryOperator.Divide,
            Join(BinaryOperator.Subtract, y2, y1, where),
            Join(BinaryOperator.Subtract, x2, x1, where),
            where
        );
        return new Binary(
            BinaryOperator.Add,
            y1,
            Join(
                BinaryOperator.Multiply,
                slope,
                Join(BinaryOperator.Subtract, x, x1, where),
                where
            ),
            where
        );
    }

    private static Expression Join(
        BinaryOperator binary,
        Expression left,
        Expression right,
        SourceSpan where
    ) =>
        left is Number { Value: var a } && right is Number { Value: var b }
            ? new Number(BuiltInFunctions.Apply(binary, a, b), where)
            : new Binary(binary, left, right, where);
}

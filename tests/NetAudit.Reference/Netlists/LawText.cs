using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Reference.Netlists;

/// <summary>A behavioural source's law in the words of ngspice's B card, every operation in brackets.</summary>
internal sealed class LawText(
    FlatNetlist netlist,
    EditSet edits,
    BehaviouralSource source,
    double factor
)
{
    public string Card()
    {
        var law = Text(source.Law);
        var scaled = factor == 1 ? law : $"{FlatNetlist.Text(factor)}*({law})";
        return $"{(source.Kind == OutputKind.Voltage ? 'V' : 'I')}={scaled}";
    }

    private string Text(Expression expression) =>
        expression switch
        {
            Number n => n.Value < 0 ? $"({FlatNetlist.Text(n.Value)})" : FlatNetlist.Text(n.Value),
            Unary { Operator: UnaryOperator.Negate } u => $"(0-{Text(u.Operand)})",
            Unary u => $"(({Text(u.Operand)})==0 ? 1 : 0)",
            Binary { Operator: BinaryOperator.And } b => Test(
                $"({Text(b.Left)})!=0 && ({Text(b.Right)})!=0"
            ),
            Binary { Operator: BinaryOperator.Or } b => Test(
                $"({Text(b.Left)})!=0 || ({Text(b.Right)})!=0"
            ),
            Binary b => Infix(b),
            Conditional c => $"(({Text(c.Condition)})!=0 ? {Text(c.Then)} : {Text(c.Otherwise)})",
            Call c => Function(c.Function, c.Arguments),
            ControlVoltage v => Voltage(source.ControlVoltages[v.Index]),
            ControlCurrent i => $"i({netlist.CurrentProbe(source.ControlCurrents[i.Index])})",
            Time => "time",
            Temperature => "temper",
            _ => throw new NotSupportedException(expression.GetType().Name),
        };

    private static string Test(string condition) => $"({condition} ? 1 : 0)";

    private string Infix(Binary b)
    {
        var (left, right) = (Text(b.Left), Text(b.Right));
        return b.Operator switch
        {
            BinaryOperator.Add => $"({left}+{right})",
            BinaryOperator.Subtract => $"({left}-{right})",
            BinaryOperator.Multiply => $"({left}*{right})",
            BinaryOperator.Divide => $"({left}/{right})",
            BinaryOperator.Power => $"({left}^{right})",
            BinaryOperator.Less => Test($"{left}<{right}"),
            BinaryOperator.LessOrEqual => Test($"{left}<={right}"),
            BinaryOperator.Greater => Test($"{left}>{right}"),
            BinaryOperator.GreaterOrEqual => Test($"{left}>={right}"),
            BinaryOperator.Equal => Test($"{left}=={right}"),
            BinaryOperator.NotEqual => Test($"{left}!={right}"),
            _ => throw new NotSupportedException(b.Operator.ToString()),
        };
    }

    private string Voltage((Terminal Positive, Terminal Negative) control)
    {
        var (positive, negative) = (netlist.End(control.Positive), netlist.End(control.Negative));
        var offset = edits.Offset(control.Positive.Pin) - edits.Offset(control.Negative.Pin);
        var volts = negative == "0" ? $"V({positive})" : $"V({positive},{negative})";
        if (positive == "0")
        {
            volts = negative == "0" ? "0" : $"(0-V({negative}))";
        }
        return offset == 0 ? volts : $"({volts}+({FlatNetlist.Text(offset)}))";
    }

    private string Function(string name, ImmutableArray<Expression> arguments)
    {
        var texts = arguments.Select(Text).ToArray();
        return name switch
        {
            "log" => $"ln({texts[0]})",
            "limit" => $"max(min({texts[0]},{texts[2]}),{texts[1]})",
            // ngspice's own pwr keeps the sign; its power operator takes the absolute value.
            "pwrs" => $"pwr({texts[0]},{texts[1]})",
            "pwr" => $"(({texts[0]})^({texts[1]}))",
            "square" => $"(({texts[0]})*({texts[0]}))",
            "hypot" => $"sqrt(({texts[0]})*({texts[0]})+({texts[1]})*({texts[1]}))",
            "min" or "max" => texts.Aggregate((left, right) => $"{name}({left},{right})"),
            "table" => Table(texts),
            _ => $"{name}({string.Join(',', texts)})",
        };
    }

    /// <summary>A table as nested choices: straight lines between its points, level outside them.</summary>
    private static string Table(string[] texts)
    {
        var (x, points) = (texts[0], texts[1..]);
        var law = points[^1];
        for (var i = points.Length - 4; i >= 0; i -= 2)
        {
            var (x0, y0, x1, y1) = (points[i], points[i + 1], points[i + 2], points[i + 3]);
            var line = $"({y0}+({y1}-({y0}))*({x}-({x0}))/({x1}-({x0})))";
            law = $"({x}<{x1} ? {line} : {law})";
        }
        return $"({x}<={points[0]} ? {points[1]} : {law})";
    }
}

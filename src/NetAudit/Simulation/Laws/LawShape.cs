using NetAudit.Netlists.Expressions;

namespace NetAudit.Simulation.Laws;

/// <summary>
/// One behavioural source of a device: its law, and for each control the input of the device that it reads. Input -1 is chassis.
/// </summary>
internal readonly record struct LawSource(
    Expression Law,
    int[] PositiveInputs,
    int[] NegativeInputs,
    int[] CurrentInputs
);

/// <summary>
/// The shape of a device's laws: everything but the values of their constants. Laws of one shape share one compiled form, so that a
/// circuit of a hundred tubes of a few types compiles a few laws.
/// </summary>
internal sealed class LawShape
{
    /// <summary>The laws in prefix notation, a number an operation, operand or control.</summary>
    public List<int> Tokens { get; } = [];

    /// <summary>The constants in the order of the walk, equal values once: what is written alike is computed once.</summary>
    public List<double> Constants { get; } = [];

    /// <summary>
    /// True for the few numbers that are part of the shape, because they allow a simplification: small whole numbers, one half, one
    /// and a half, and the 40 at which soft ramps are commonly cut over.
    /// </summary>
    public static bool IsLiteral(double value) =>
        value is 40
        || (
            value is >= -4 and <= 4
            && (value == Math.Truncate(value) || value is 0.5 or 1.5 or -0.5)
        );

    /// <summary>Index of a constant among those listed, added when it is new.</summary>
    public static int IndexOf(List<double> constants, double value)
    {
        var index = constants.IndexOf(value);
        if (index < 0)
        {
            index = constants.Count;
            constants.Add(value);
        }
        return index;
    }

    public void Add(int inputCount, ReadOnlySpan<LawSource> sources, double celsius)
    {
        Tokens.Add(inputCount);
        Tokens.Add(sources.Length);
        foreach (var source in sources)
        {
            Walk(source.Law, source, celsius);
        }
    }

    // Each kind of expression has its own range of tokens.
    private void Walk(Expression expression, LawSource source, double celsius)
    {
        switch (expression)
        {
            case Number number when IsLiteral(number.Value):
                Tokens.Add(1000 + (int)(number.Value * 2));
                break;
            case Number number:
                Tokens.Add(1);
                Tokens.Add(IndexOf(Constants, number.Value));
                break;
            case Temperature:
                Tokens.Add(1);
                Tokens.Add(IndexOf(Constants, celsius));
                break;
            case Time:
                Tokens.Add(2);
                break;
            case ControlVoltage control:
                Tokens.Add(3);
                Tokens.Add(source.PositiveInputs[control.Index]);
                Tokens.Add(source.NegativeInputs[control.Index]);
                break;
            case ControlCurrent control:
                Tokens.Add(4);
                Tokens.Add(source.CurrentInputs[control.Index]);
                break;
            case Unary unary:
                Tokens.Add(100 + (int)unary.Operator);
                Walk(unary.Operand, source, celsius);
                break;
            case Binary binary:
                Tokens.Add(200 + (int)binary.Operator);
                Walk(binary.Left, source, celsius);
                Walk(binary.Right, source, celsius);
                break;
            case Conditional conditional:
                Tokens.Add(300);
                Walk(conditional.Condition, source, celsius);
                Walk(conditional.Then, source, celsius);
                Walk(conditional.Otherwise, source, celsius);
                break;
            case Call call:
                Tokens.Add(400 + call.Arguments.Length);
                foreach (var letter in call.Function)
                {
                    Tokens.Add(letter);
                }
                foreach (var argument in call.Arguments)
                {
                    Walk(argument, source, celsius);
                }
                break;
            default:
                throw new ArgumentException(
                    $"A law cannot hold {expression.GetType().Name} after elaboration.",
                    nameof(expression)
                );
        }
    }
}

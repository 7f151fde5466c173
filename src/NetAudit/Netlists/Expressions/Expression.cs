using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Netlists.Expressions;

/// <summary>
/// An arithmetic expression of a netlist: a parameter value, or the law of a behavioural source. Immutable; equality is structural
/// and ignores <see cref="Where"/>, so that equal laws compile once.
/// </summary>
/// <param name="Where">Where it stands in the source.</param>
public abstract record Expression(SourceSpan Where)
{
    /// <summary>Structural equality of this level: the place in the source does not count.</summary>
    public virtual bool Equals(Expression? other) =>
        other is not null && EqualityContract == other.EqualityContract;

    /// <inheritdoc/>
    public override int GetHashCode() => EqualityContract.GetHashCode();
}

/// <summary>A literal number in base units.</summary>
public sealed record Number(double Value, SourceSpan Where) : Expression(Where);

/// <summary>A parameter, by the name the netlist gives it. Gone after elaboration.</summary>
public sealed record ParameterReference(string Name, SourceSpan Where) : Expression(Where);

/// <summary>Operators with one operand.</summary>
public enum UnaryOperator
{
    /// <summary>Minus.</summary>
    Negate,

    /// <summary>Logical not: 1 when the operand is 0, else 0.</summary>
    Not,
}

/// <summary>Operators with two operands. Comparisons and logic give 1 or 0.</summary>
public enum BinaryOperator
{
    /// <summary>Sum.</summary>
    Add,

    /// <summary>Difference.</summary>
    Subtract,

    /// <summary>Product.</summary>
    Multiply,

    /// <summary>Quotient.</summary>
    Divide,

    /// <summary>Power, <c>^</c> or <c>**</c>.</summary>
    Power,

    /// <summary>Less than.</summary>
    Less,

    /// <summary>Less than or equal.</summary>
    LessOrEqual,

    /// <summary>Greater than.</summary>
    Greater,

    /// <summary>Greater than or equal.</summary>
    GreaterOrEqual,

    /// <summary>Equal.</summary>
    Equal,

    /// <summary>Not equal.</summary>
    NotEqual,

    /// <summary>Logical and.</summary>
    And,

    /// <summary>Logical or.</summary>
    Or,
}

/// <summary>One operand.</summary>
public sealed record Unary(UnaryOperator Operator, Expression Operand, SourceSpan Where)
    : Expression(Where);

/// <summary>Two operands.</summary>
public sealed record Binary(
    BinaryOperator Operator,
    Expression Left,
    Expression Right,
    SourceSpan Where
) : Expression(Where);

/// <summary><c>condition ? then : otherwise</c>, also written <c>if(condition, then, otherwise)</c>.</summary>
public sealed record Conditional(
    Expression Condition,
    Expression Then,
    Expression Otherwise,
    SourceSpan Where
) : Expression(Where);

/// <summary>A built-in function by its lower-case name, for example <c>exp</c> or <c>table</c>. User functions are gone after elaboration.</summary>
public sealed record Call(string Function, ImmutableArray<Expression> Arguments, SourceSpan Where)
    : Expression(Where)
{
    /// <inheritdoc/>
    public bool Equals(Call? other) =>
        base.Equals(other)
        && Function == other.Function
        && Arguments.AsSpan().SequenceEqual(other.Arguments.AsSpan());

    /// <inheritdoc/>
    public override int GetHashCode() =>
        Arguments.Aggregate(Function.GetHashCode(StringComparison.Ordinal), HashCode.Combine);
}

/// <summary>
/// <c>v(positive)</c> or <c>v(positive, negative)</c>, by node name as written. Elaboration turns it into <see cref="ControlVoltage"/>.
/// </summary>
public sealed record NodeVoltage(string Positive, string? Negative, SourceSpan Where)
    : Expression(Where);

/// <summary><c>i(name)</c>: the current through a voltage source, by name as written. Elaboration turns it into <see cref="ControlCurrent"/>.</summary>
public sealed record BranchCurrent(string Source, SourceSpan Where) : Expression(Where);

/// <summary>The control voltage number <paramref name="Index"/> of the behavioural source that holds the expression, in volts.</summary>
public sealed record ControlVoltage(int Index, SourceSpan Where) : Expression(Where);

/// <summary>The control current number <paramref name="Index"/> of the behavioural source that holds the expression, in amperes.</summary>
public sealed record ControlCurrent(int Index, SourceSpan Where) : Expression(Where);

/// <summary>Time in seconds; 0 at an operating point.</summary>
public sealed record Time(SourceSpan Where) : Expression(Where);

/// <summary>Temperature in degrees Celsius.</summary>
public sealed record Temperature(SourceSpan Where) : Expression(Where);

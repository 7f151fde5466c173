using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits.Elaboration;

/// <summary>
/// Gives names in expressions their meaning: parameters become numbers, functions of the netlist are written out, constant parts are
/// worked out. A parameter's value is an expression of which only a number is left. Problems are reported once, and give null.
/// </summary>
internal sealed partial class ExpressionResolver(ElaborationState state)
{
    private const int DeepestParameterChain = 100;
    private const int DeepestFunctionChain = 50;
    private const int LargestLaw = 20_000;

    private static readonly Dictionary<string, double> Constants = new(
        StringComparer.OrdinalIgnoreCase
    )
    {
        ["pi"] = Math.PI,
        ["e"] = Math.E,
        ["true"] = 1,
        ["false"] = 0,
        ["yes"] = 1,
        ["no"] = 0,
        // Exact by definition of the SI (2019), except the zero of the Celsius scale, exact by older definition.
        ["echarge"] = 1.602176634e-19,
        ["boltz"] = 1.380649e-23,
        ["kelvin"] = -273.15,
        ["hertz"] = 0,
    };

    private int parameterDepth;

    /// <summary>Where an expression stands and what it may use.</summary>
    private sealed record Frame(
        ValueText Text,
        Scope Scope,
        LawControls? Law,
        Dictionary<string, Expression>? Bindings,
        int Depth
    )
    {
        public SourceSpan Place { get; } = Text.Where;

        public int Nodes { get; set; }
    }

    /// <summary>The number that a text stands for; null when it is none, which is then reported.</summary>
    public double? Evaluate(ValueText text, Scope scope)
    {
        if (SpiceNumber.TryParse(text.Span, out var number, out _))
        {
            return number;
        }
        if (Read(text) is not { } expression)
        {
            return null;
        }
        var resolved = Resolve(expression, new Frame(text, scope, null, null, 0));
        if (resolved is not Number { Value: var value })
        {
            return null;
        }
        if (double.IsFinite(value))
        {
            return value;
        }
        Complain(text, "this has no finite value");
        return null;
    }

    /// <summary>The law that a text spells: numbers, operators, functions, control voltages and currents.</summary>
    public Expression? ResolveLaw(ValueText text, Scope scope, LawControls controls) =>
        Read(text) is { } expression
            ? Resolve(expression, new Frame(text, scope, controls, null, 0))
            : null;

    /// <summary>The value of a parameter; null when it is wrong, which is then reported.</summary>
    public double? Value(ParameterSlot slot)
    {
        switch (slot.State)
        {
            case ParameterSlot.Stage.Known:
                return slot.Value;
            case ParameterSlot.Stage.Failed:
                return null;
            case ParameterSlot.Stage.Reading:
                Complain(slot.Text, $"parameter {slot.Name} depends on itself");
                slot.State = ParameterSlot.Stage.Failed;
                return null;
        }
        if (parameterDepth >= DeepestParameterChain)
        {
            Complain(
                slot.Text,
                $"parameter {slot.Name} hangs on a chain of more than {DeepestParameterChain} parameters defined after their use"
            );
            slot.State = ParameterSlot.Stage.Failed;
            return null;
        }
        slot.State = ParameterSlot.Stage.Reading;
        parameterDepth++;
        var value = Evaluate(slot.Text, slot.Scope);
        parameterDepth--;
        if (value is null || slot.State == ParameterSlot.Stage.Failed)
        {
            slot.State = ParameterSlot.Stage.Failed;
            return null;
        }
        slot.State = ParameterSlot.Stage.Known;
        slot.Value = value.Value;
        return value;
    }

    /// <summary>
    /// Works out the parameters of a scope in order when there are so many that a chain of them, followed from its end, would go too
    /// deep.
    /// </summary>
    public void FollowInOrder(Scope scope)
    {
        if (scope.OwnParameters.Count > DeepestParameterChain)
        {
            foreach (var slot in scope.OwnParameters.ToList())
            {
                _ = Value(slot);
            }
        }
    }

    private Expression? Read(ValueText text)
    {
        var parsed = ExpressionReader.Read(text.Span.ToString());
        if (parsed.Expression is null)
        {
            var start = Math.Min(text.Start + parsed.ProblemStart, text.End);
            state.Report(
                Severity.Error,
                new ValueText(text.Source, start, start + parsed.ProblemLength),
                parsed.Problem!,
                parsed.Mend
            );
        }
        return parsed.Expression;
    }

    private Expression? Resolve(Expression expression, Frame frame)
    {
        if (++frame.Nodes > LargestLaw)
        {
            if (frame.Nodes == LargestLaw + 1)
            {
                Complain(
                    frame.Text,
                    "the expression grows too large when its functions are written out"
                );
            }
            return null;
        }
        switch (expression)
        {
            case Number number:
                return number with { Where = frame.Place };
            case ParameterReference reference:
                return Reference(reference, frame);
            case Unary unary:
                return Resolve(unary.Operand, frame) is not { } operand ? null
                    : operand is Number { Value: var x }
                        ? new Number(
                            unary.Operator == UnaryOperator.Negate ? -x
                                : x == 0 ? 1
                                : 0,
                            frame.Place
                        )
                    : new Unary(unary.Operator, operand, frame.Place);
            case Binary binary:
                return ResolveBinary(binary, frame);
            case Conditional conditional:
                return ResolveConditional(
                    conditional.Condition,
                    conditional.Then,
                    conditional.Otherwise,
                    frame
                );
            case Call call:
                return ResolveCall(call, frame);
            case NodeVoltage or BranchCurrent:
                return Sensed(expression, frame);
            default:
                return expression;
        }
    }

    private Expression? Reference(ParameterReference reference, Frame frame)
    {
        if (frame.Bindings?.GetValueOrDefault(reference.Name) is { } bound)
        {
            return bound;
        }
        if (frame.Scope.FindParameter(reference.Name) is { } slot)
        {
            return Value(slot) is { } value ? new Number(value, frame.Place) : null;
        }
        switch (reference.Name.ToLowerInvariant())
        {
            case "temper" or "temp" when frame.Law is not null:
                return new Temperature(frame.Place);
            case "temper" or "temp":
                return new Number(state.Temperature, frame.Place);
            case "time" when frame.Law is not null:
                return new Time(frame.Place);
        }
        if (Constants.TryGetValue(reference.Name, out var constant))
        {
            return new Number(constant, frame.Place);
        }
        Complain(
            Part(frame, reference.Where),
            $"unknown parameter {reference.Name}",
            Suggestions.DidYouMean(reference.Name, frame.Scope.ParameterNames)
        );
        return null;
    }

    private Expression? ResolveBinary(Binary binary, Frame frame)
    {
        var left = Resolve(binary.Left, frame);
        var right = Resolve(binary.Right, frame);
        if (left is null || right is null)
        {
            return null;
        }
        if (left is not Number { Value: var x } || right is not Number { Value: var y })
        {
            return new Binary(binary.Operator, left, right, frame.Place);
        }
        if (binary.Operator == BinaryOperator.Divide && y == 0 && frame.Law is null)
        {
            Complain(Part(frame, binary.Where), "division by zero");
            return null;
        }
        return new Number(BuiltInFunctions.Apply(binary.Operator, x, y), frame.Place);
    }

    private Expression? ResolveConditional(
        Expression condition,
        Expression then,
        Expression otherwise,
        Frame frame
    )
    {
        var test = Resolve(condition, frame);
        if (test is Number { Value: var known })
        {
            return Resolve(known != 0 ? then : otherwise, frame);
        }
        var first = Resolve(then, frame);
        var second = Resolve(otherwise, frame);
        return test is null || first is null || second is null
            ? null
            : new Conditional(test, first, second, frame.Place);
    }

    private Expression? Sensed(Expression expression, Frame frame)
    {
        if (frame.Law is null)
        {
            Complain(
                Part(frame, expression.Where),
                "voltages and currents have no value here: a parameter is worked out before the circuit is"
            );
            return null;
        }
        return expression switch
        {
            NodeVoltage voltage => Voltage(voltage, frame),
            BranchCurrent current => new ControlCurrent(
                frame.Law.Current(current.Source),
                frame.Place
            ),
            _ => expression,
        };
    }

    private static Expression Voltage(NodeVoltage voltage, Frame frame)
    {
        var negative = voltage.Negative is { } name && !IsChassis(name) ? name : null;
        if (string.Equals(voltage.Positive, negative, StringComparison.OrdinalIgnoreCase))
        {
            return new Number(0, frame.Place);
        }
        if (!IsChassis(voltage.Positive))
        {
            return new ControlVoltage(frame.Law!.Voltage(voltage.Positive, negative), frame.Place);
        }
        return negative is null
            ? new Number(0, frame.Place)
            : new Unary(
                UnaryOperator.Negate,
                new ControlVoltage(frame.Law!.Voltage(negative, null), frame.Place),
                frame.Place
            );
    }

    private static bool IsChassis(string name) =>
        name is "0" || name.Equals("gnd", StringComparison.OrdinalIgnoreCase);

    private static ValueText Part(Frame frame, SourceSpan relative)
    {
        // Inside a function's argument the expression may come from elsewhere; then the whole text is shown.
        var start = frame.Text.Start + relative.Column - 1;
        return relative.Line == 0 && start < frame.Text.End
            ? new ValueText(frame.Text.Source, start, start + relative.Length)
            : frame.Text;
    }

    private void Complain(ValueText place, string message, string? mend = null) =>
        state.Report(Severity.Error, place, message, mend);
}

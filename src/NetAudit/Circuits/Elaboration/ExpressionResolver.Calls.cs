using System.Collections.Immutable;
using NetAudit.Netlists;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits.Elaboration;

/// <content>Calls: built-in functions, and functions of the netlist written out.</content>
internal sealed partial class ExpressionResolver
{
    private Expression? ResolveCall(Call call, Frame frame)
    {
        if (frame.Scope.FindFunction(call.Function) is { } function)
        {
            return ResolveFunction(function, call, frame);
        }
        if (call.Function is "if" or "ternary_fcn" or "ternary" && call.Arguments.Length == 3)
        {
            return ResolveConditional(
                call.Arguments[0],
                call.Arguments[1],
                call.Arguments[2],
                frame
            );
        }
        if (BuiltInFunctions.Find(call.Function) is not { } known)
        {
            Complain(
                Part(frame, call.Where),
                $"unknown function {call.Function}",
                Suggestions.DidYouMean(
                    call.Function,
                    BuiltInFunctions.Names.Append("if").Concat(frame.Scope.FunctionNames)
                )
            );
            return null;
        }
        if (!CheckArity(call, known, frame) || Arguments(call, frame) is not { } arguments)
        {
            return null;
        }
        if (known.Name == "table" && !Ascends(arguments))
        {
            Complain(Part(frame, call.Where), $"the x values of {call.Function} must ascend");
            return null;
        }
        return call.Function == "pwl" && !arguments.All(argument => argument is Number)
            ? PiecewiseLinear.Law(arguments, frame.Place)
            : Apply(call.Function == "pwl" ? "pwl" : known.Name, arguments, frame);
    }

    /// <summary>False when known x values of a table do not ascend.</summary>
    private static bool Ascends(ImmutableArray<Expression> arguments)
    {
        for (var i = 3; i < arguments.Length; i += 2)
        {
            if (
                arguments[i - 2] is Number { Value: var before }
                && arguments[i] is Number { Value: var after }
                && !(after > before)
            )
            {
                return false;
            }
        }
        return true;
    }

    private static Expression Apply(string name, ImmutableArray<Expression> arguments, Frame frame)
    {
        if (frame.Law is not null)
        {
            name = name switch
            {
                // Measured on ngspice 39: in sources pwr keeps the sign and pow does not; in parameters it is the other way round.
                // A file that also uses pwrs is written in the dialect where pwr does not keep it.
                "pwr" when !frame.Text.Source.UsesSignedPower => "pwrs",
                "pow" => "pwr",
                _ => name,
            };
        }
        if (!arguments.All(argument => argument is Number))
        {
            return new Call(name, arguments, frame.Place);
        }
        var values = arguments.Select(argument => ((Number)argument).Value).ToArray();
        var value =
            name == "pwl"
                ? PiecewiseLinear.Value(values)
                : BuiltInFunctions.Find(name)!.Evaluate(values);
        return new Number(value, frame.Place);
    }

    private bool CheckArity(Call call, BuiltInFunction known, Frame frame)
    {
        var count = call.Arguments.Length;
        if (count < known.Least || count > known.Most)
        {
            var wanted =
                known.Least == known.Most ? $"{known.Least}"
                : known.Most == int.MaxValue ? $"at least {known.Least}"
                : $"{known.Least} to {known.Most}";
            Complain(
                Part(frame, call.Where),
                $"{call.Function} takes {wanted} argument{(wanted == "1" ? "" : "s")}, not {count}"
            );
            return false;
        }
        if (known.Name == "table" && count % 2 == 0)
        {
            Complain(
                Part(frame, call.Where),
                $"{call.Function} takes pairs of x and y after its first argument"
            );
            return false;
        }
        return true;
    }

    private ImmutableArray<Expression>? Arguments(Call call, Frame frame)
    {
        var arguments = ImmutableArray.CreateBuilder<Expression>(call.Arguments.Length);
        var failed = false;
        foreach (var argument in call.Arguments)
        {
            if (Resolve(argument, frame) is { } resolved)
            {
                arguments.Add(resolved);
            }
            else
            {
                failed = true;
            }
        }
        return failed ? null : arguments.MoveToImmutable();
    }

    private Expression? ResolveFunction(FunctionDefinition function, Call call, Frame frame)
    {
        if (call.Arguments.Length != function.Parameters.Length)
        {
            Complain(
                Part(frame, call.Where),
                $"{function.Name} takes {function.Parameters.Length} arguments, not {call.Arguments.Length}"
            );
            return null;
        }
        if (frame.Depth >= DeepestFunctionChain)
        {
            Complain(function.Body, $"function {function.Name} calls itself, or calls go too deep");
            return null;
        }
        if (Arguments(call, frame) is not { } arguments || Read(function.Body) is not { } body)
        {
            return null;
        }
        var bindings = new Dictionary<string, Expression>(StringComparer.OrdinalIgnoreCase);
        for (var i = 0; i < arguments.Length; i++)
        {
            bindings[function.Parameters[i]] = arguments[i];
        }
        var inner = new Frame(function.Body, function.Scope, frame.Law, bindings, frame.Depth + 1)
        {
            Nodes = frame.Nodes,
        };
        var result = Resolve(body, inner);
        frame.Nodes = inner.Nodes;
        if (
            result is not null
            && ExpressionSize.Measure(result, LargestLaw) is var (depth, nodes)
            && (depth > ExpressionReader.Deepest || nodes >= LargestLaw)
        )
        {
            Complain(
                frame.Text,
                "the expression grows too large when its functions are written out"
            );
            return null;
        }
        return result;
    }
}

using NetAudit.Netlists.Expressions;

namespace NetAudit.Tests.Circuits.Elaboration;

/// <summary>The value of a law by plain recursion, for checks.</summary>
internal static class LawValue
{
    public static double Of(Expression law, double[] volts, double[] amps) =>
        law switch
        {
            Number number => number.Value,
            ControlVoltage voltage => volts[voltage.Index],
            ControlCurrent current => amps[current.Index],
            Time => 0,
            Temperature => 27,
            Unary { Operator: UnaryOperator.Negate } unary => -Of(unary.Operand, volts, amps),
            Unary unary => Of(unary.Operand, volts, amps) == 0 ? 1 : 0,
            Binary binary => BuiltInFunctions.Apply(
                binary.Operator,
                Of(binary.Left, volts, amps),
                Of(binary.Right, volts, amps)
            ),
            Conditional conditional => Of(conditional.Condition, volts, amps) != 0
                ? Of(conditional.Then, volts, amps)
                : Of(conditional.Otherwise, volts, amps),
            Call call => BuiltInFunctions
                .Find(call.Function)!
                .Evaluate([.. call.Arguments.Select(argument => Of(argument, volts, amps))]),
            _ => throw new NotSupportedException(law.GetType().Name),
        };
}

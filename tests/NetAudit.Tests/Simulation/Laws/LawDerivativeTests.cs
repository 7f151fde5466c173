using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists.Expressions;
using NetAudit.Simulation.Laws;
using Xunit;

namespace NetAudit.Tests.Simulation.Laws;

/// <summary>Values of compiled laws against the functions' own definitions, derivatives against central differences.</summary>
public class LawDerivativeTests
{
    private static SourceSpan Nowhere => default;
    private static readonly Expression X = new ControlVoltage(0, Nowhere);
    private static readonly Expression Y = new ControlVoltage(1, Nowhere);

    public static TheoryData<string> Functions => [.. BuiltInFunctions.Names.Order()];

    public static TheoryData<BinaryOperator> Operators => [.. Enum.GetValues<BinaryOperator>()];

    [Theory]
    [MemberData(nameof(Functions))]
    public void Evaluate_EveryFunction_ValueAndSlopesAreRight(string name)
    {
        var function = BuiltInFunctions.Find(name)!;
        foreach (var (arguments, reference) in Uses(function))
        {
            Check(new Call(name, arguments, Nowhere), reference);
        }
    }

    [Theory]
    [MemberData(nameof(Operators))]
    public void Evaluate_EveryOperator_ValueAndSlopesAreRight(BinaryOperator operation) =>
        Check(
            new Binary(operation, X, Y, Nowhere),
            (x, y) =>
                operation switch
                {
                    BinaryOperator.Add => x + y,
                    BinaryOperator.Subtract => x - y,
                    BinaryOperator.Multiply => x * y,
                    BinaryOperator.Divide => BuiltInFunctions.Divide(x, y),
                    BinaryOperator.Power => BuiltInFunctions.Power(x, y),
                    BinaryOperator.Less => x < y ? 1 : 0,
                    BinaryOperator.LessOrEqual => x <= y ? 1 : 0,
                    BinaryOperator.Greater => x > y ? 1 : 0,
                    BinaryOperator.GreaterOrEqual => x >= y ? 1 : 0,
                    BinaryOperator.Equal => x == y ? 1 : 0,
                    BinaryOperator.NotEqual => x != y ? 1 : 0,
                    BinaryOperator.And => x != 0 && y != 0 ? 1 : 0,
                    _ => x != 0 || y != 0 ? 1 : 0,
                }
        );

    [Fact]
    public void Evaluate_QuotientByItsDenominator_HasTheSlopeOfTheQuotientRule() =>
        Check(
            new Binary(
                BinaryOperator.Divide,
                new Call("exp", [X], Nowhere),
                new Binary(BinaryOperator.Add, Of(2.5), new Call("square", [Y], Nowhere), Nowhere),
                Nowhere
            ),
            (x, y) => Math.Exp(x) / (2.5 + y * y)
        );

    [Fact]
    public void Evaluate_BranchNotTaken_DoesNotSpoilTheSlope()
    {
        var law = new Conditional(
            new Binary(BinaryOperator.Greater, X, Of(0), Nowhere),
            new Call("log", [X], Nowhere),
            new Binary(BinaryOperator.Multiply, Of(3.25), Y, Nowhere),
            Nowhere
        );
        Check(law, (x, y) => x > 0 ? Math.Log(x) : 3.25 * y);
        var results = Evaluate(law, 0, 1.5, out _);
        Assert.Equal([4.875, 0, 3.25], results);
    }

    [Theory]
    [InlineData(-800.0)]
    [InlineData(-30.0)]
    [InlineData(0.0)]
    [InlineData(25.0)]
    [InlineData(60.0)]
    [InlineData(2000.0)]
    public void Evaluate_SoftRampOfEitherSpelling_NeitherOverflowsNorLosesItsSlope(double x)
    {
        var plain = new Call("log", [Sum(Of(1), new Call("exp", [X], Nowhere))], Nowhere);
        var cut = Sum(
            new Call(
                "log",
                [Sum(Of(1), new Call("exp", [new Call("min", [X, Of(40)], Nowhere)], Nowhere))],
                Nowhere
            ),
            new Call(
                "max",
                [new Binary(BinaryOperator.Subtract, X, Of(40), Nowhere), Of(0)],
                Nowhere
            )
        );
        var value = x > 40 ? x : Math.Log(1 + Math.Exp(x));
        var slope = 1 / (1 + Math.Exp(-x));
        foreach (var law in (Expression[])[plain, cut])
        {
            var results = Evaluate(law, x, 0, out var compiled);
            Assert.Equal(value, results[0], 1e-12 * Math.Max(1, Math.Abs(value)));
            Assert.Equal(slope, results[1], 1e-12);
            Assert.DoesNotContain(
                compiled.Body.ToArray(),
                step => step.Operation is LawOperation.Log or LawOperation.Max
            );
        }
    }

    private static Number Of(double value) => new Number(value, Nowhere);

    private static Binary Sum(Expression a, Expression b) =>
        new Binary(BinaryOperator.Add, a, b, Nowhere);

    // Arguments in which both inputs take part, and the same in plain arithmetic.
    private static IEnumerable<(ImmutableArray<Expression>, Func<double, double, double>)> Uses(
        BuiltInFunction function
    )
    {
        if (function.Name == "table")
        {
            yield return (
                [X, Of(-2.3), Of(1.7), Of(-0.6), Y, Of(0.9), Of(-1.1), Of(2.6), Of(5.3)],
                (x, y) => function.Evaluate([x, -2.3, 1.7, -0.6, y, 0.9, -1.1, 2.6, 5.3])
            );
        }
        else if (function.Name == "limit")
        {
            yield return ([X, Of(-1.3), Y], (x, y) => function.Evaluate([x, -1.3, y]));
        }
        else if (function.Least == 1 && function.Most == 1)
        {
            yield return ([X], (x, _) => function.Evaluate([x]));
            yield return (
                [new Binary(BinaryOperator.Multiply, X, Y, Nowhere)],
                (x, y) => function.Evaluate([x * y])
            );
        }
        else
        {
            yield return ([X, Y], (x, y) => function.Evaluate([x, y]));
            yield return ([Y, Of(0.73)], (_, y) => function.Evaluate([y, 0.73]));
        }
    }

    private static void Check(Expression law, Func<double, double, double> reference)
    {
        // Away from kinks and jumps, where no difference quotient says anything.
        double[] points = [-2.719, -1.134, -0.433, 0.217, 0.583, 1.371, 2.293];
        foreach (var x in points)
        {
            foreach (var other in points)
            {
                var y = other + 0.037;
                var results = Evaluate(law, x, y, out _);
                var expected = reference(x, y);
                Assert.Equal(expected, results[0], 1e-12 * (1 + Math.Abs(expected)));
                const double Step = 1e-6;
                var byX = (reference(x + Step, y) - reference(x - Step, y)) / (2 * Step);
                var byY = (reference(x, y + Step) - reference(x, y - Step)) / (2 * Step);
                Assert.Equal(byX, results[1], 1e-6 * (1 + Math.Abs(byX)));
                Assert.Equal(byY, results[2], 1e-6 * (1 + Math.Abs(byY)));
            }
        }
    }

    /// <summary>Value, slope by x, slope by y; interpreted and as machine code, which must give the same bits.</summary>
    private static double[] Evaluate(Expression law, double x, double y, out CompiledLaw compiled)
    {
        (compiled, var rawConstants) = LawCompiler.Compile(
            2,
            [new LawSource(law, [0, 1], [-1, -1], [])],
            27
        );
        double[] inputs = [x, y];
        var constants = compiled.Prepare(rawConstants);
        constants = constants.Length == 0 ? [0] : constants;
        var interpreted = new double[compiled.ResultCount];
        var emitted = new double[compiled.ResultCount];
        compiled.Interpret(ref inputs[0], ref constants[0], ref interpreted[0]);
        LawEmitter.Emit(compiled)(ref inputs[0], ref constants[0], ref emitted[0]);
        Assert.Equal(
            interpreted.Select(BitConverter.DoubleToInt64Bits),
            emitted.Select(BitConverter.DoubleToInt64Bits)
        );
        var results = new double[3];
        results[0] = interpreted[0];
        for (var i = 0; i < compiled.Partials.Length; i++)
        {
            results[1 + compiled.Partials[i].Input] = interpreted[1 + i];
        }
        return results;
    }
}

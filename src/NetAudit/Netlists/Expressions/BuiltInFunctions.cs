using System.Collections.Frozen;

namespace NetAudit.Netlists.Expressions;

/// <summary>A function that expressions may call.</summary>
/// <param name="Name">Its name in <see cref="Call.Function"/>, lower case.</param>
/// <param name="Least">Least number of arguments.</param>
/// <param name="Most">Largest number of arguments; <see cref="int.MaxValue"/> when any number goes.</param>
/// <param name="Evaluate">Its value. Never throws; a domain it does not have is widened as the function's comment says.</param>
public sealed record BuiltInFunction(
    string Name,
    int Least,
    int Most,
    Func<ReadOnlySpan<double>, double> Evaluate
);

/// <summary>
/// The meaning of every built-in function and of the two operators that need care, for parameters and for behavioural sources alike.
/// The values are those of ngspice 39 in its default mode wherever that has one (measured; see <c>docs/netlist-dialect.md</c>).
/// Where dialects give one spelling two meanings the reader picks the function: a sign-keeping <c>pwr</c> arrives here as
/// <c>pwrs</c>. Results stay finite for finite arguments where Newton iterations might stray: <c>exp</c> stops growing at
/// <see cref="LargestExponent"/>, a quotient by zero is a quotient by 1e-32, logarithms and roots take the absolute value (SPICE3
/// user manual, section 3.2.3), inverse functions clamp to their domain. Thread-safe.
/// </summary>
public static class BuiltInFunctions
{
    /// <summary><c>exp</c> of anything above this has the value at this: 1e304 leaves room for a product.</summary>
    public const double LargestExponent = 700.0;

    /// <summary>What a denominator is moved away from zero by, as ngspice does.</summary>
    public const double DenominatorFudge = 1e-32;

    /// <summary>What the argument of a logarithm is kept above: its logarithm is then -690, not minus infinity.</summary>
    public const double SmallestLogArgument = 1e-300;

    private static readonly FrozenDictionary<string, BuiltInFunction> Functions = All()
        .ToFrozenDictionary(function => function.Name, StringComparer.Ordinal);

    /// <summary>Other spellings, and the function each stands for.</summary>
    private static readonly FrozenDictionary<string, string> Aliases = new Dictionary<
        string,
        string
    >
    {
        ["ln"] = "log",
        ["arctan"] = "atan",
        ["arcsin"] = "asin",
        ["arccos"] = "acos",
        ["fabs"] = "abs",
        ["stp"] = "u",
        // The reader adds what pwl does beyond its ends.
        ["pwl"] = "table",
        ["sqr"] = "square",
        ["round"] = "nint",
    }.ToFrozenDictionary(StringComparer.Ordinal);

    /// <summary>Names of all functions, without the other spellings.</summary>
    public static IEnumerable<string> Names => Functions.Keys;

    /// <summary>The function of that lower-case name or other spelling, or null.</summary>
    public static BuiltInFunction? Find(string name) =>
        Functions.GetValueOrDefault(Aliases.GetValueOrDefault(name, name));

    /// <summary>The operator <c>^</c>: |x| to the power y, left-associative, binding less than a sign on its right operand, more than one on its left.</summary>
    public static double Power(double x, double y) => Math.Pow(Math.Abs(x), y);

    /// <summary>Sign-keeping power: -(|x| to the power y) for x below 0.</summary>
    public static double SignedPower(double x, double y) =>
        x < 0 ? -Math.Pow(-x, y) : Math.Pow(x, y);

    /// <summary>The operator <c>/</c>, with the denominator moved <see cref="DenominatorFudge"/> away from zero.</summary>
    public static double Divide(double x, double y) =>
        x / (y >= 0 ? y + DenominatorFudge : y - DenominatorFudge);

    /// <summary>The value of a binary operator. Comparisons and logic give 1 or 0.</summary>
    public static double Apply(BinaryOperator binary, double x, double y) =>
        binary switch
        {
            BinaryOperator.Add => x + y,
            BinaryOperator.Subtract => x - y,
            BinaryOperator.Multiply => x * y,
            BinaryOperator.Divide => Divide(x, y),
            BinaryOperator.Power => Power(x, y),
            BinaryOperator.Less => x < y ? 1 : 0,
            BinaryOperator.LessOrEqual => x <= y ? 1 : 0,
            BinaryOperator.Greater => x > y ? 1 : 0,
            BinaryOperator.GreaterOrEqual => x >= y ? 1 : 0,
            BinaryOperator.Equal => x == y ? 1 : 0,
            BinaryOperator.NotEqual => x != y ? 1 : 0,
            BinaryOperator.And => x != 0 && y != 0 ? 1 : 0,
            BinaryOperator.Or => x != 0 || y != 0 ? 1 : 0,
            _ => throw new ArgumentOutOfRangeException(nameof(binary)),
        };

    /// <summary>
    /// Straight lines through points (x1, y1, x2, y2, …) in ascending x; constant beyond the ends. <paramref name="arguments"/> is
    /// the argument, then the points.
    /// </summary>
    public static double Table(ReadOnlySpan<double> arguments)
    {
        var x = arguments[0];
        var points = arguments[1..];
        if (x <= points[0])
        {
            return points[1];
        }
        for (var i = 2; i + 1 < points.Length; i += 2)
        {
            if (x <= points[i])
            {
                var (x0, y0, x1, y1) = (points[i - 2], points[i - 1], points[i], points[i + 1]);
                return x1 > x0 ? y0 + (y1 - y0) * (x - x0) / (x1 - x0) : y1;
            }
        }
        return points[^1];
    }

    private static IEnumerable<BuiltInFunction> All() =>
        [
            One("abs", Math.Abs),
            // sgn(0) is 0.
            One(
                "sgn",
                x =>
                    x > 0 ? 1
                    : x < 0 ? -1
                    : 0
            ),
            One("sqrt", x => Math.Sqrt(Math.Abs(x))),
            One("square", x => x * x),
            One("cbrt", Math.Cbrt),
            One("exp", x => Math.Exp(Math.Min(x, LargestExponent))),
            // Natural, as in SPICE3.
            One("log", x => Math.Log(Math.Max(Math.Abs(x), SmallestLogArgument))),
            One("log10", x => Math.Log10(Math.Max(Math.Abs(x), SmallestLogArgument))),
            One("sin", Math.Sin),
            One("cos", Math.Cos),
            One("tan", Math.Tan),
            One("asin", x => Math.Asin(Math.Clamp(x, -1, 1))),
            One("acos", x => Math.Acos(Math.Clamp(x, -1, 1))),
            One("atan", Math.Atan),
            One("sinh", x => Math.Sinh(Math.Clamp(x, -LargestExponent, LargestExponent))),
            One("cosh", x => Math.Cosh(Math.Clamp(x, -LargestExponent, LargestExponent))),
            One("tanh", Math.Tanh),
            One("asinh", Math.Asinh),
            One("acosh", x => Math.Acosh(Math.Max(x, 1))),
            One("atanh", x => Math.Atanh(Math.Clamp(x, -1 + 1e-15, 1 - 1e-15))),
            One("floor", Math.Floor),
            One("ceil", Math.Ceiling),
            // Towards zero.
            One("int", Math.Truncate),
            // Halves go to the even neighbour.
            One("nint", x => Math.Round(x, MidpointRounding.ToEven)),
            // Unit step; one half at 0.
            One(
                "u",
                x =>
                    x > 0 ? 1
                    : x < 0 ? 0
                    : 0.5
            ),
            // Ramp from 0 to 1, constant beyond.
            One("u2", x => Math.Clamp(x, 0, 1)),
            One("uramp", x => Math.Max(x, 0)),
            One("eq0", x => x == 0 ? 1 : 0),
            One("ne0", x => x != 0 ? 1 : 0),
            One("gt0", x => x > 0 ? 1 : 0),
            One("lt0", x => x < 0 ? 1 : 0),
            One("ge0", x => x >= 0 ? 1 : 0),
            One("le0", x => x <= 0 ? 1 : 0),
            One("buf", x => x > 0.5 ? 1 : 0),
            One("inv", x => x > 0.5 ? 0 : 1),
            // Rate of change: nothing changes at an operating point.
            One("ddt", _ => 0),
            // |x|^y, in parameters and in the dialect that also has pwrs.
            Two("pwr", Power),
            Two("pwrs", SignedPower),
            // The mathematical power; |x|^y where that has no value. In behavioural sources the reader turns pow into pwr.
            Two("pow", (x, y) => x < 0 && y != Math.Truncate(y) ? Power(x, y) : Math.Pow(x, y)),
            Two("atan2", Math.Atan2),
            Two("hypot", (x, y) => Math.Sqrt(x * x + y * y)),
            // Remainder with the sign of x, as the operator % of parameters.
            Two("mod", (x, y) => y == 0 ? 0 : x % y),
            Two("sign", Math.CopySign),
            new("min", 1, int.MaxValue, arguments => Fold(arguments, Math.Min)),
            new("max", 1, int.MaxValue, arguments => Fold(arguments, Math.Max)),
            // The first argument kept between the other two, whichever of those is the larger.
            new(
                "limit",
                3,
                3,
                a => Math.Min(Math.Max(a[0], Math.Min(a[1], a[2])), Math.Max(a[1], a[2]))
            ),
            new("table", 3, int.MaxValue, Table),
        ];

    private static BuiltInFunction One(string name, Func<double, double> law) =>
        new(name, 1, 1, arguments => law(arguments[0]));

    private static BuiltInFunction Two(string name, Func<double, double, double> law) =>
        new(name, 2, 2, arguments => law(arguments[0], arguments[1]));

    private static double Fold(ReadOnlySpan<double> arguments, Func<double, double, double> law)
    {
        var result = arguments[0];
        foreach (var argument in arguments[1..])
        {
            result = law(result, argument);
        }
        return result;
    }
}

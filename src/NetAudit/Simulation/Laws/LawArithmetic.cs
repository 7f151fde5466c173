using System.Runtime.CompilerServices;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Simulation.Laws;

/// <summary>
/// What each <see cref="LawOperation"/> computes. The values are those of <see cref="BuiltInFunctions"/>; only operations that need more
/// than one machine operation have a method here.
/// </summary>
internal static class LawArithmetic
{
    // Below this 1 + e rounds away more than the series of log(1 + e) leaves out.
    private const double SmallLogArgument = 1e-4;

    public static double Exp(double x) => Math.Exp(Math.Min(x, BuiltInFunctions.LargestExponent));

    public static double Log(double x) =>
        Math.Log(Math.Max(Math.Abs(x), BuiltInFunctions.SmallestLogArgument));

    public static double Log10(double x) =>
        Math.Log10(Math.Max(Math.Abs(x), BuiltInFunctions.SmallestLogArgument));

    public static double Sqrt(double x) => Math.Sqrt(Math.Abs(x));

    public static double Asin(double x) => Math.Asin(Math.Clamp(x, -1, 1));

    public static double Acos(double x) => Math.Acos(Math.Clamp(x, -1, 1));

    public static double Sinh(double x) => Math.Sinh(ClampExponent(x));

    public static double Cosh(double x) => Math.Cosh(ClampExponent(x));

    public static double Acosh(double x) => Math.Acosh(Math.Max(x, 1));

    public static double Atanh(double x) => Math.Atanh(Math.Clamp(x, -1 + 1e-15, 1 - 1e-15));

    public static double Sgn(double x) =>
        x > 0 ? 1
        : x < 0 ? -1
        : 0;

    public static double Nearest(double x) => Math.Round(x, MidpointRounding.ToEven);

    public static double Step(double x) =>
        x > 0 ? 1
        : x < 0 ? 0
        : 0.5;

    public static double Not(double x) => x == 0 ? 1 : 0;

    public static double AwayFromZero(double x) =>
        x >= 0 ? x + BuiltInFunctions.DenominatorFudge : x - BuiltInFunctions.DenominatorFudge;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double ExpOfMinusAbs(double x) => Math.Exp(-Math.Abs(x));

    /// <summary>|x| to the power y; the two commonest exponents of tube laws without a logarithm.</summary>
    public static double Power(double x, double y)
    {
        var magnitude = Math.Abs(x);
        return y == 1.5 ? magnitude * Math.Sqrt(magnitude)
            : y == 2 ? magnitude * magnitude
            : Math.Pow(magnitude, y);
    }

    /// <summary>The mathematical power where it has a value, else |x| to the power y.</summary>
    public static double RawPower(double x, double y) =>
        x < 0 && y != Math.Truncate(y) ? Math.Pow(-x, y) : Math.Pow(x, y);

    public static double Less(double x, double y) => x < y ? 1 : 0;

    public static double LessOrEqual(double x, double y) => x <= y ? 1 : 0;

    public static double Equal(double x, double y) => x == y ? 1 : 0;

    public static double And(double x, double y) => x != 0 && y != 0 ? 1 : 0;

    public static double Or(double x, double y) => x != 0 || y != 0 ? 1 : 0;

    public static double Modulo(double x, double y) => y == 0 ? 0 : x % y;

    /// <summary>log(1 + exp(x)) without overflow, given e = exp(-|x|).</summary>
    public static double SoftRamp(double x, double e) =>
        Math.Max(x, 0)
        + (e < SmallLogArgument ? e * (1 - e * (0.5 - e * (1.0 / 3))) : Math.Log(1 + e));

    public static double Select(double condition, double then, double otherwise) =>
        condition != 0 ? then : otherwise;

    /// <summary>The operation applied to its operands; operands it does not have are ignored.</summary>
    public static double Apply(LawOperation operation, double a, double b, double c) =>
        operation switch
        {
            LawOperation.Negate => -a,
            LawOperation.Exp => Exp(a),
            LawOperation.Log => Log(a),
            LawOperation.Log10 => Log10(a),
            LawOperation.Sqrt => Sqrt(a),
            LawOperation.Sin => Math.Sin(a),
            LawOperation.Cos => Math.Cos(a),
            LawOperation.Tan => Math.Tan(a),
            LawOperation.Asin => Asin(a),
            LawOperation.Acos => Acos(a),
            LawOperation.Atan => Math.Atan(a),
            LawOperation.Sinh => Sinh(a),
            LawOperation.Cosh => Cosh(a),
            LawOperation.Tanh => Math.Tanh(a),
            LawOperation.Asinh => Math.Asinh(a),
            LawOperation.Acosh => Acosh(a),
            LawOperation.Atanh => Atanh(a),
            LawOperation.Cbrt => Math.Cbrt(a),
            LawOperation.Abs => Math.Abs(a),
            LawOperation.Sgn => Sgn(a),
            LawOperation.Floor => Math.Floor(a),
            LawOperation.Ceiling => Math.Ceiling(a),
            LawOperation.Truncate => Math.Truncate(a),
            LawOperation.Nearest => Nearest(a),
            LawOperation.Step => Step(a),
            LawOperation.Not => Not(a),
            LawOperation.AwayFromZero => AwayFromZero(a),
            LawOperation.ExpOfMinusAbs => ExpOfMinusAbs(a),
            LawOperation.Add => a + b,
            LawOperation.Subtract => a - b,
            LawOperation.Multiply => a * b,
            LawOperation.Divide => a / b,
            LawOperation.Power => Power(a, b),
            LawOperation.RawPower => RawPower(a, b),
            LawOperation.Less => Less(a, b),
            LawOperation.LessOrEqual => LessOrEqual(a, b),
            LawOperation.And => And(a, b),
            LawOperation.Or => Or(a, b),
            LawOperation.Equal => Equal(a, b),
            LawOperation.Min => Math.Min(a, b),
            LawOperation.Max => Math.Max(a, b),
            LawOperation.Atan2 => Math.Atan2(a, b),
            LawOperation.Modulo => Modulo(a, b),
            LawOperation.CopySign => Math.CopySign(a, b),
            LawOperation.SoftRamp => SoftRamp(a, b),
            LawOperation.Select => Select(a, b, c),
            _ => throw new ArgumentOutOfRangeException(nameof(operation), operation, null),
        };

    private static double ClampExponent(double x) =>
        Math.Clamp(x, -BuiltInFunctions.LargestExponent, BuiltInFunctions.LargestExponent);
}

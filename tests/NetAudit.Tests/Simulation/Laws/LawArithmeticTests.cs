using NetAudit.Simulation;
using NetAudit.Simulation.Laws;
using Xunit;

namespace NetAudit.Tests.Simulation.Laws;

/// <summary>Arithmetic of laws where it has corners.</summary>
public sealed class LawArithmeticTests
{
    [Theory]
    [InlineData(1, 2, 1, 1, 0)]
    [InlineData(2, 2, 0, 1, 1)]
    [InlineData(3, 2, 0, 0, 0)]
    public void Comparisons_BelowAtAndAbove(
        double x,
        double y,
        int less,
        int lessOrEqual,
        int equal
    )
    {
        Assert.Equal(less, LawArithmetic.Less(x, y));
        Assert.Equal(lessOrEqual, LawArithmetic.LessOrEqual(x, y));
        Assert.Equal(equal, LawArithmetic.Equal(x, y));
    }

    [Theory]
    [InlineData(0, 0, 0, 0)]
    [InlineData(0, 5, 0, 1)]
    [InlineData(-2, 0, 0, 1)]
    [InlineData(-2, 5, 1, 1)]
    public void Truth_IsAnythingButZero(double x, double y, int and, int or)
    {
        Assert.Equal(and, LawArithmetic.And(x, y));
        Assert.Equal(or, LawArithmetic.Or(x, y));
    }

    [Theory]
    [InlineData(7, 3, 1)]
    [InlineData(-7, 3, -1)]
    [InlineData(7, 0, 0)]
    public void Modulo_ByZero_IsZero(double x, double y, double rest) =>
        Assert.Equal(rest, LawArithmetic.Modulo(x, y));

    [Theory]
    [InlineData(-2, 2, 4)]
    [InlineData(-2, 3, -8)]
    [InlineData(-4, 0.5, 2)]
    [InlineData(4, 0.5, 2)]
    public void RawPower_OfANegative_IsThatOfItsSizeWhereThereIsNone(
        double x,
        double y,
        double power
    ) => Assert.Equal(power, LawArithmetic.RawPower(x, y), 12);

    /// <summary>Laws of one shape are compiled once; which differ in a node only are not of one shape.</summary>
    [Fact]
    public void Laws_ThatDifferInANodeOnly_AreEachTheirOwn()
    {
        var circuit = Netlist.Read(
            "V1 a 0 10\nV2 b 0 3\nV3 c 0 4\nB1 x 0 V=V(a,b)*V(a,b)\nB2 y 0 V=V(a,b)*V(a,c)\nB3 z 0 V=V(a,c)*V(b,c)\nRX x 0 1k\nRY y 0 1k\nRZ z 0 1k"
        );
        var point = new OperatingPointSolver().Solve(circuit);

        Assert.Equal(49, point.Volts(circuit, "x"), 1e-9);
        Assert.Equal(42, point.Volts(circuit, "y"), 1e-9);
        Assert.Equal(-6, point.Volts(circuit, "z"), 1e-9);
    }
}

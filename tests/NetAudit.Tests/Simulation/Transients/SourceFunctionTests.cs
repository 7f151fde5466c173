using NetAudit.Simulation.Transients;
using Xunit;

namespace NetAudit.Tests.Simulation.Transients;

/// <summary>Sources against time. Values at 1.725 ms printed by ngspice 39.3 for the same cards.</summary>
public class SourceFunctionTests
{
    [Theory]
    [InlineData("sffm", new[] { 1.0, 2, 1e3, 3, 100, 30, 40 }, 2.975001)]
    [InlineData("am", new[] { 1.0, 2, 100, 1e3, 1e-3, 30 }, -2.40990)]
    [InlineData("exp", new[] { 1.0, 2, 1e-3, 0.5e-3, 3e-3, 1e-3 }, 1.765430)]
    [InlineData("pulse", new[] { 1.0, 2, 1e-3, 0.1e-3, 0.2e-3, 0.5e-3, 2e-3 }, 1.375)]
    [InlineData("sin", new[] { 1.0, 2, 1e3, 1e-3, 100, 30 }, -0.736582)]
    [InlineData("pwl", new[] { 1e-3, 1, 2e-3, 3, 4e-3, -1 }, 2.45)]
    public void Value_OfFunction_IsThatOfNgspice(string name, double[] arguments, double volts)
    {
        var function = new TimeFunction(name, arguments, 10e-6, 5e-3);
        Assert.Equal(volts, function.At(1.725e-3), 5e-6);
    }

    [Theory]
    [InlineData(2e-3)]
    // The delay less this period and the period again are not the delay to the last bit.
    [InlineData(10e-3)]
    public void NextCorner_OfPulse_NamesEachCornerOnce(double period)
    {
        var function = new TimeFunction("pulse", [0, 1, 1e-3, 1e-4, 2e-4, 5e-4, period], 1e-5, 1);
        var corners = new List<double>();
        for (var time = 0.0; corners.Count < 8; )
        {
            time = function.NextCorner(time);
            corners.Add(time);
        }
        double[] first = [1e-3, 1.1e-3, 1.6e-3, 1.8e-3];
        double[] expected = [.. first, .. first.Select(corner => corner + period)];
        Assert.Equal(expected.Length, corners.Count);
        for (var i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], corners[i], 1e-9);
        }
    }

    [Fact]
    public void NextCorner_OfPoints_NamesEachPointOnce_AndThenNone()
    {
        var function = new TimeFunction("pwl", [1e-3, 1, 2e-3, 3, 4e-3, -1], 1e-5, 10e-3);

        Assert.Equal(1e-3, function.NextCorner(0));
        Assert.Equal(2e-3, function.NextCorner(1e-3));
        Assert.Equal(4e-3, function.NextCorner(2e-3 * (1 + 1e-15)));
        Assert.Equal(double.PositiveInfinity, function.NextCorner(4e-3));
    }

    // By the formulas of the manual, reckoned by hand: step 10 us, stop 5 ms.
    [Theory]
    // Both exponentials run: 1 + (1 - e^-5) - (1 - e^-0.5).
    [InlineData("exp", new[] { 1.0, 2, 1e-3, 0.5e-3, 3e-3, 1e-3 }, 3.5e-3, 1.599793)]
    [InlineData("exp", new[] { 1.0, 2, 1e-3, 0.5e-3, 3e-3, 1e-3 }, 0.5e-3, 1)]
    [InlineData("sin", new[] { 1.0, 2, 1e3, 1e-3, 0, 90 }, 0.5e-3, 3)]
    [InlineData("sin", new[] { 1.0, 2, 1e3, 1e-3, 0, 0 }, 1.25e-3, 3)]
    // One period in the run.
    [InlineData("sin", new[] { 0.0, 2 }, 1.25e-3, 2)]
    [InlineData("pulse", new[] { 1.0, 2, 1e-3, 0.1e-3, 0.2e-3, 0.5e-3, 2e-3 }, 0.9e-3, 1)]
    [InlineData("pulse", new[] { 1.0, 2, 1e-3, 0.1e-3, 0.2e-3, 0.5e-3, 2e-3 }, 1.05e-3, 1.5)]
    [InlineData("pulse", new[] { 1.0, 2, 1e-3, 0.1e-3, 0.2e-3, 0.5e-3, 2e-3 }, 1.3e-3, 2)]
    [InlineData("pulse", new[] { 1.0, 2, 1e-3, 0.1e-3, 0.2e-3, 0.5e-3, 2e-3 }, 1.7e-3, 1.5)]
    [InlineData("pulse", new[] { 1.0, 2, 1e-3, 0.1e-3, 0.2e-3, 0.5e-3, 2e-3 }, 2.5e-3, 1)]
    [InlineData("pulse", new[] { 1.0, 2, 1e-3, 0.1e-3, 0.2e-3, 0.5e-3, 2e-3 }, 3.3e-3, 2)]
    // No rise given: the step; no width: to the end.
    [InlineData("pulse", new[] { 0.0, 1 }, 5e-6, 0.5)]
    [InlineData("pulse", new[] { 0.0, 1 }, 4e-3, 1)]
    [InlineData("pwl", new[] { 1e-3, 1, 2e-3, 3, 4e-3, -1 }, 0, 1)]
    [InlineData("pwl", new[] { 1e-3, 1, 2e-3, 3, 4e-3, -1 }, 2e-3, 3)]
    [InlineData("pwl", new[] { 1e-3, 1, 2e-3, 3, 4e-3, -1 }, 9e-3, -1)]
    [InlineData("am", new[] { 1.0, 2, 100, 1e3, 1e-3 }, 0.5e-3, 0)]
    // 1 (2 + sin 2π 0.025) sin 2π 0.25.
    [InlineData("am", new[] { 1.0, 2, 100, 1e3, 1e-3 }, 1.25e-3, 2.156434)]
    [InlineData("sffm", new[] { 1.0, 2, 1e3, 0, 100 }, 0.25e-3, 3)]
    // 1 + 2 sin(2π 0.25 + 1 sin 2π 0.025).
    [InlineData("sffm", new[] { 1.0, 2, 1e3, 1, 100 }, 0.25e-3, 2.975579)]
    public void Value_OfFunction_IsThatOfItsFormula(
        string name,
        double[] arguments,
        double time,
        double volts
    )
    {
        var function = new TimeFunction(name, arguments, 10e-6, 5e-3);
        Assert.Equal(volts, function.At(time), 5e-6);
        Assert.Equal(
            volts + 3,
            (new TimeFunction(name, arguments, 10e-6, 5e-3) { Offset = 3 }).At(time),
            5e-6
        );
    }

    [Theory]
    [InlineData("sin", new[] { 1.0, 2, 1e3, 1e-3 }, 1e-3)]
    [InlineData("am", new[] { 1.0, 2, 100, 1e3, 1e-3 }, 1e-3)]
    [InlineData("exp", new[] { 1.0, 2, 1e-3, 0.5e-3, 3e-3, 1e-3 }, 1e-3)]
    public void NextCorner_OfADelay_IsItsEnd(string name, double[] arguments, double corner)
    {
        var function = new TimeFunction(name, arguments, 10e-6, 5e-3);
        Assert.Equal(corner, function.NextCorner(0));
        Assert.Equal(name == "exp" ? 3e-3 : double.PositiveInfinity, function.NextCorner(corner));
        Assert.Equal(double.PositiveInfinity, function.NextCorner(4e-3));
    }

    [Fact]
    public void NextCorner_OfAnExponentialWithoutASecondDelay_IsAStepAfterTheFirst()
    {
        var function = new TimeFunction("exp", [1, 2, 1e-3], 10e-6, 5e-3);
        Assert.Equal(1.01e-3, function.NextCorner(1e-3), 1e-12);
    }
}

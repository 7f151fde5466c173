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

    [Fact]
    public void NextCorner_OfPulse_NamesEachCornerOnce()
    {
        var function = new TimeFunction("pulse", [0, 1, 1e-3, 1e-4, 2e-4, 5e-4, 2e-3], 1e-5, 10e-3);
        var corners = new List<double>();
        for (var time = 0.0; corners.Count < 8; )
        {
            time = function.NextCorner(time);
            corners.Add(time);
        }
        double[] expected = [1e-3, 1.1e-3, 1.6e-3, 1.8e-3, 3e-3, 3.1e-3, 3.6e-3, 3.8e-3];
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
}

using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Expectations;

public class RowScaleTests
{
    [Theory]
    [InlineData(ReadingKind.Ac, 0)]
    [InlineData(ReadingKind.Ac, 0.5)]
    [InlineData(ReadingKind.Ohms, 0)]
    [InlineData(ReadingKind.Ohms, 0.4)]
    [InlineData(ReadingKind.Ohms, 4700)]
    [InlineData(ReadingKind.Ohms, 22e6)]
    [InlineData(ReadingKind.Dc, -38)]
    public void Slope_OfScale_IsItsDifference(ReadingKind kind, double value)
    {
        var row = new Row(kind, 1, 0, 1e7, 0);
        var step = 1e-6 * (1 + Math.Abs(value));

        var difference = (RowScale.Of(row, value + step) - RowScale.Of(row, value)) / step;

        Assert.Equal(difference, RowScale.Slope(row, value), 1e-4 * Math.Abs(difference));
    }

    [Fact]
    public void Slope_OverRange_IsNothing() =>
        Assert.Equal(
            0,
            RowScale.Slope(new Row(ReadingKind.Ohms, 1, 0, 1e7, 0), double.PositiveInfinity)
        );
}

using NetAudit.Circuits.Sheets;
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
    [InlineData(ReadingKind.Ohms, 90e6)]
    [InlineData(ReadingKind.Dc, -38)]
    public void Slope_OfScale_IsItsDifference(ReadingKind kind, double value)
    {
        var row = new Row(kind, 1, 0, 1e7, 0);
        var step = 1e-6 * (1 + Math.Abs(value));

        var difference = (RowScale.Of(row, value + step) - RowScale.Of(row, value)) / step;

        Assert.Equal(difference, RowScale.Slope(row, value), 1e-4 * Math.Abs(difference));
    }

    [Fact]
    public void Place_BeyondTheRange_IsThatOfOverRange()
    {
        var row = new Row(ReadingKind.Ohms, 1, 0, 1e7, 0);
        var end = RowScale.Of(row, double.PositiveInfinity);

        // Junctions without bias are some hundred megohms: a meter shows the same as with nothing there.
        Assert.Equal(end, RowScale.Of(row, 200e6), 1e-3);
        Assert.Equal(end, RowScale.Of(row, 1e300), 1e-12);
        // Up to its end a range shows what is there.
        Assert.Equal(Math.Log(20e6), RowScale.Of(row, 20e6), 0.02);
        Assert.Equal(20e6, RowScale.Value(row, RowScale.Of(row, 20e6)), 1);
    }

    [Fact]
    public void OwnSigma_OverRange_IsThatOfTheRangesEnd()
    {
        var row = new Row(ReadingKind.Ohms, 1, 0, 1e7, 0);

        Assert.InRange(new Meter().OwnSigma(row, 30e6), 0.01, 0.02);
        Assert.Equal(0.1, new Meter().OwnSigma(row, double.PositiveInfinity));
    }

    [Fact]
    public void Slope_OverRange_IsNothing() =>
        Assert.Equal(
            0,
            RowScale.Slope(new Row(ReadingKind.Ohms, 1, 0, 1e7, 0), double.PositiveInfinity)
        );
}

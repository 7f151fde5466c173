using NetAudit.Common;
using NetAudit.Expectations;
using ScottPlot;

namespace NetAudit.Bench.Plots;

/// <summary>The spread of what healthy units read at a point, with what was measured on it.</summary>
internal static class DistributionPlot
{
    private const int Steps = 200;
    private const double Widest = 4.5;

    public static string DataAddress(ExpectedReading expected, double? measured)
    {
        var plot = PlotStyle.New($"volts at {expected.Point.Name}", "healthy units");
        var sigma = Math.Max(expected.Sigma, 1e-9);
        var volts = new double[Steps + 1];
        var density = new double[Steps + 1];
        for (var i = 0; i <= Steps; i++)
        {
            var z = Widest * (2.0 * i / Steps - 1);
            volts[i] = expected.Mean + z * sigma;
            density[i] = Math.Exp(-z * z / 2);
        }
        var band = plot.Add.HorizontalSpan(expected.Low, expected.High);
        band.FillStyle.Color = PlotStyle.Expected.WithAlpha(.14);
        band.LineStyle.Width = 0;
        var curve = plot.Add.ScatterLine(volts, density, PlotStyle.Expected);
        curve.LineWidth = 3;
        if (measured is { } value && double.IsFinite(value))
        {
            var line = plot.Add.VerticalLine(value, 4, PlotStyle.Measured, LinePattern.Solid);
            line.LegendText = $"measured {MeterText.Volts(value)} V";
        }
        var reach = Math.Max(
            Widest * sigma,
            Math.Abs((measured ?? expected.Mean) - expected.Mean) * 1.1
        );
        plot.Axes.SetLimits(expected.Mean - reach, expected.Mean + reach, 0, 1.1);
        plot.Axes.Left.TickLabelStyle.IsVisible = false;
        curve.LegendText = $"healthy units, {MeterText.Volts(expected.Mean)} V";
        band.LegendText = "95 of 100";
        plot.ShowLegend(Alignment.UpperRight).FontSize = 15;
        return PlotStyle.DataAddress(plot);
    }
}

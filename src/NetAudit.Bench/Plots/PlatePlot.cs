using NetAudit.Common;
using NetAudit.Expectations;
using ScottPlot;

namespace NetAudit.Bench.Plots;

/// <summary>Plate curves with the load line, the operating point of a healthy unit, and the plate voltage that was measured.</summary>
internal static class PlatePlot
{
    private const double Milli = 1000;

    /// <param name="curves">The curves.</param>
    /// <param name="measured">Plate against cathode as measured, volts; null when it was not.</param>
    public static string DataAddress(PlateCurves curves, double? measured)
    {
        var plot = PlotStyle.New("volts from cathode to plate", "plate current, mA");
        var most = Math.Max(curves.Amps * 3, 1e-6);
        var right = curves.Curves[0].Points[^1].Volts;
        foreach (var curve in curves.Curves)
        {
            var line = plot.Add.ScatterLine(
                curve.Points.Select(point => point.Volts).ToArray(),
                curve.Points.Select(point => point.Amps * Milli).ToArray(),
                PlotStyle.Quiet
            );
            line.LineWidth = 1.5f;
            // The name of a curve stands where it leaves the picture.
            var end = curve.Points.LastOrDefault(point => point.Amps <= most, curve.Points[0]);
            var name = plot.Add.Text(
                $"{MeterText.Volts(curve.GridVolts).TrimEnd('0').TrimEnd('.')} V",
                end.Volts,
                end.Amps * Milli
            );
            name.LabelFontSize = 13;
            name.LabelFontColor = PlotStyle.Quiet;
            name.LabelAlignment = Alignment.LowerRight;
        }
        if (curves.HasLoadLine)
        {
            var load = plot.Add.ScatterLine(
                new[] { 0, curves.OpenVolts },
                new[] { curves.LoadAmps(0) * Milli, 0 },
                PlotStyle.Expected
            );
            load.LineWidth = 3;
            load.LegendText = "load as drawn";
        }
        else
        {
            var load = plot.Add.VerticalLine(curves.OpenVolts, 3, PlotStyle.Expected);
            load.LegendText = "load as drawn (its winding only)";
        }
        var healthy = plot.Add.Marker(
            curves.Volts,
            curves.Amps * Milli,
            MarkerShape.FilledCircle,
            15,
            PlotStyle.Expected
        );
        healthy.LegendText =
            $"healthy: {MeterText.Volts(curves.Volts)} V, {EngineeringNotation.Format(curves.Amps, "A", 3)}, grid {MeterText.Volts(curves.GridVolts)} V";
        if (measured is { } volts && double.IsFinite(volts))
        {
            var line = plot.Add.VerticalLine(volts, 3, PlotStyle.Measured, LinePattern.Dashed);
            line.LegendText = $"measured {MeterText.Volts(volts)} V";
            if (curves.HasLoadLine && volts < curves.OpenVolts)
            {
                var amps = curves.LoadAmps(volts);
                plot
                    .Add.Marker(
                        volts,
                        amps * Milli,
                        MarkerShape.FilledDiamond,
                        17,
                        PlotStyle.Measured
                    )
                    .LegendText = $"through the load: {EngineeringNotation.Format(amps, "A", 3)}";
            }
            right = Math.Max(right, volts * 1.05);
        }
        plot.Axes.SetLimits(0, right, 0, most * Milli * 1.05);
        plot.ShowLegend(Alignment.UpperRight).FontSize = 14;
        return PlotStyle.DataAddress(plot, 900, 560);
    }
}

using NetAudit.Circuits;
using NetAudit.Expectations.LargeSignal;
using ScottPlot;
using ScottPlot.TickGenerators;

namespace NetAudit.Cli.Plots;

/// <summary>Power (or output volts) and distortion against drive, both axes logarithmic.</summary>
internal static class DrivePlot
{
    private const string Face = "DejaVu Sans";
    private const int Width = 900;
    private const int Height = 540;

    public static string ToSvg(Amplifier amplifier, DriveSweep sweep)
    {
        Fonts.Default = Face;
        using var plot = new Plot();
        plot.Font.Set(Face);
        DrivePoint[] points = [.. sweep.Points.Where(point => point.Load is not null)];
        double[] drives = [.. points.Select(point => Math.Log10(point.Drive))];
        var hasLoad = sweep.Setup!.Load >= 0;
        var output = plot.Add.Scatter(
            drives,
            points
                .Select(point => Math.Log10(hasLoad ? point.Watts!.Value : point.Load!.Fundamental))
                .ToArray(),
            Color.FromHex("#0b6b63")
        );
        output.LegendText = hasLoad ? "power, W" : "output, V";
        var distortion = plot.Add.Scatter(
            drives,
            points
                .Select(point => Math.Log10(Math.Max(1e-4, 100 * point.Load!.Distortion)))
                .ToArray(),
            Color.FromHex("#a84300")
        );
        // Told apart without colour too.
        distortion.LinePattern = LinePattern.Dashed;
        distortion.MarkerShape = MarkerShape.OpenSquare;
        distortion.LegendText = "distortion, %";
        if (sweep.Clipping is { } clipping)
        {
            var line = plot.Add.VerticalLine(Math.Log10(clipping.Point.Drive));
            line.Color = Color.FromHex("#5c6b68");
            line.LinePattern = LinePattern.Dotted;
            line.LegendText = "clipping begins";
        }
        plot.Title(amplifier.Sheet.Title ?? amplifier.Circuit.Title, 16);
        plot.XLabel("drive, V RMS");
        plot.YLabel($"{output.LegendText}; {distortion.LegendText}");
        foreach (var axis in (ReadOnlySpan<IAxis>)[plot.Axes.Bottom, plot.Axes.Left])
        {
            axis.TickGenerator = new NumericAutomatic
            {
                MinorTickGenerator = new LogMinorTickGenerator(),
                IntegerTicksOnly = true,
                LabelFormatter = power =>
                    NetAudit.Common.EngineeringNotation.Format(Math.Pow(10, power), null, 3),
            };
        }
        plot.ShowLegend(Alignment.UpperLeft);
        return plot.GetSvgXml(Width, Height);
    }
}

using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.Levels;
using ScottPlot;
using ScottPlot.TickGenerators;

namespace NetAudit.Cli.Reports;

/// <summary>A frequency response drawn: decibels over a logarithmic frequency axis, -3 dB points marked.</summary>
internal static class ResponsePlot
{
    private const int Width = 800;
    private const int Height = 500;
    private const string Typeface = "DejaVu Sans";

    /// <summary>The drawing as SVG.</summary>
    public static string ToSvg(Amplifier amplifier, FrequencyResponse response)
    {
        Fonts.Default = Typeface;
        using var plot = new Plot();
        plot.Font.Set(Typeface);
        var nodes = amplifier.Circuit.Nodes;
        plot.Title(
            $"{Titles.Of(amplifier)}: {nodes[response.From].Name} to {nodes[response.To].Name}"
        );
        plot.XLabel("Hz");
        plot.YLabel("dB");
        var drawn = response.Points.Where(point => double.IsFinite(point.Decibels)).ToArray();
        var line = plot.Add.ScatterLine(
            drawn.Select(point => Math.Log10(point.Frequency)).ToArray(),
            drawn.Select(point => point.Decibels).ToArray()
        );
        line.LineWidth = 2;
        foreach (var corner in new[] { response.Low, response.High })
        {
            if (
                corner
                is >= FrequencyResponse.LeastFrequency
                    and <= FrequencyResponse.GreatestFrequency
                    and var hertz
            )
            {
                var mark = plot.Add.VerticalLine(Math.Log10(hertz));
                mark.LinePattern = LinePattern.Dashed;
                mark.LabelText = EngineeringNotation.Format(hertz, "Hz", 3);
            }
        }
        plot.Axes.Bottom.TickGenerator = new NumericAutomatic
        {
            MinorTickGenerator = new LogMinorTickGenerator(),
            IntegerTicksOnly = true,
            LabelFormatter = power =>
                EngineeringNotation.Format(
                    double.Parse(
                        Math.Pow(10, power).ToString("G3", CultureInfo.InvariantCulture),
                        CultureInfo.InvariantCulture
                    )
                ),
        };
        plot.Axes.SetLimitsX(
            Math.Log10(FrequencyResponse.LeastFrequency),
            Math.Log10(FrequencyResponse.GreatestFrequency)
        );
        return plot.GetSvgXml(Width, Height);
    }
}

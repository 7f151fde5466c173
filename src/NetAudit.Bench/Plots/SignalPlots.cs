using NetAudit.Common;
using NetAudit.Expectations;
using ScottPlot;
using ScottPlot.TickGenerators;

namespace NetAudit.Bench.Plots;

/// <summary>The test signal along the path, and the response of the whole.</summary>
internal static class SignalPlots
{
    /// <summary>Gain in decibels against frequency.</summary>
    public static string Response(SignalSurvey survey)
    {
        var plot = PlotStyle.New("hertz", $"dB from the source to {survey.Output}");
        var points = survey.Response.Where(point => point.Gain > 1e-12).ToArray();
        var line = plot.Add.ScatterLine(
            points.Select(point => Math.Log10(point.Hertz)).ToArray(),
            points.Select(point => 20 * Math.Log10(point.Gain)).ToArray(),
            PlotStyle.Expected
        );
        line.LineWidth = 3;
        plot.Axes.Bottom.TickGenerator = new NumericManual(
            [1, 2, 3, 4, 5],
            ["10", "100", "1k", "10k", "100k"]
        );
        plot.Axes.Margins(0.01, 0.1);
        return PlotStyle.DataAddress(plot);
    }

    /// <summary>Levels against the source, on a logarithmic scale, stage by stage.</summary>
    public static string Levels(SignalSurvey survey)
    {
        var plot = PlotStyle.New(
            "",
            $"times the source, {EngineeringNotation.Format(survey.Frequency, "Hz")}"
        );
        var stages = survey.Levels.Where(level => level.Out > 1e-9).ToArray();
        var values = stages.Select(level => Math.Log10(level.Out / survey.Source)).ToArray();
        double[] places = [.. Enumerable.Range(0, stages.Length).Select(i => (double)i)];
        var line = plot.Add.Scatter(places, values, PlotStyle.Expected);
        line.LineWidth = 3;
        line.MarkerSize = 12;
        foreach (var (level, place) in stages.Zip(places))
        {
            var text = plot.Add.Text(
                EngineeringNotation.Format(level.Out / survey.Source, digits: 3),
                place,
                Math.Log10(level.Out / survey.Source)
            );
            text.LabelFontSize = 14;
            text.LabelAlignment = Alignment.LowerCenter;
            text.OffsetY = -10;
        }
        plot.Axes.Bottom.TickGenerator = new NumericManual(
            places,
            [.. stages.Select(level => Wrapped(level.Stage.Name))]
        );
        var ticks = Enumerable.Range(-6, 10).Select(power => (double)power).ToArray();
        plot.Axes.Left.TickGenerator = new NumericManual(
            ticks,
            [.. ticks.Select(power => EngineeringNotation.Format(Math.Pow(10, power)))]
        );
        plot.Axes.Margins(0.1, 0.2);
        return PlotStyle.DataAddress(plot, 900, 480);
    }

    private static string Wrapped(string name)
    {
        var words = name.Length > 40 ? name[..40] : name;
        var middle = words.IndexOf(' ', words.Length / 3);
        return middle < 0 ? words : $"{words[..middle]}\n{words[(middle + 1)..]}";
    }
}

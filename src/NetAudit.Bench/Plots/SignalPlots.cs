using System.Collections.Immutable;
using NetAudit.Bench.Circuits;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.Levels;
using ScottPlot;
using ScottPlot.TickGenerators;

namespace NetAudit.Bench.Plots;

/// <summary>A place on the signal path with its levels, volts RMS.</summary>
/// <param name="Name">Name of the stage that the signal leaves there.</param>
/// <param name="Expected">Of a healthy unit.</param>
/// <param name="Measured">As measured; null when it was not.</param>
public sealed record PathLevel(string Name, double Expected, double? Measured);

/// <summary>The test signal along the path, and the response of the whole.</summary>
internal static class SignalPlots
{
    /// <summary>A lower level is noise, volts RMS.</summary>
    private const double LeastVolts = 1e-6;

    /// <summary>A stage that gets less of what the one before it gives lies off the path.</summary>
    private const double LeastPassed = 1e-3;

    /// <summary>Stages that the signal passes one after the other, with the level where each ends.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="signal">Its test signal.</param>
    /// <param name="measured">The level that was measured at a node, or null.</param>
    public static ImmutableArray<PathLevel> Path(
        Amplifier amplifier,
        HealthySignal signal,
        Func<int, double?> measured
    )
    {
        var path = ImmutableArray.CreateBuilder<PathLevel>();
        var before = signal.Levels?.Volts ?? 0;
        foreach (
            var stage in amplifier.Stages.Where(s =>
                s is { IsSupply: false, Input: > 0, Output: > 0 }
            )
        )
        {
            // What reaches another channel is stray.
            if (signal.At(stage.Input) > LeastPassed * before)
            {
                var expected = signal.At(stage.Output) ?? 0;
                path.Add(new(stage.Name, expected, measured(stage.Output)));
                before = expected;
            }
        }
        return path.ToImmutable();
    }

    /// <summary>Gain in decibels against frequency.</summary>
    public static string Response(FrequencyResponse response, string output)
    {
        var plot = PlotStyle.New("hertz", $"dB from the source to {output}");
        var points = response.Points.Where(point => double.IsFinite(point.Decibels)).ToArray();
        var line = plot.Add.ScatterLine(
            points.Select(point => Math.Log10(point.Frequency)).ToArray(),
            points.Select(point => point.Decibels).ToArray(),
            PlotStyle.Expected
        );
        line.LineWidth = 3;
        double[] ticks = [20, 50, 100, 200, 500, 1e3, 2e3, 5e3, 10e3, 20e3];
        plot.Axes.Bottom.TickGenerator = new NumericManual(
            [.. ticks.Select(Math.Log10)],
            [.. ticks.Select(hertz => EngineeringNotation.Format(hertz))]
        );
        plot.Axes.Margins(0.01, 0.1);
        return PlotStyle.DataAddress(plot);
    }

    /// <summary>Levels on a logarithmic scale, stage by stage, those measured beside those expected.</summary>
    public static string Levels(ImmutableArray<PathLevel> path, double frequency)
    {
        var plot = PlotStyle.New("", $"volts RMS, {EngineeringNotation.Format(frequency, "Hz")}");
        Draw(
            plot,
            [.. path.Select(level => level.Expected)],
            PlotStyle.Expected,
            below: false
        ).LegendText = "healthy unit";
        if (path.Any(level => level.Measured > LeastVolts))
        {
            double[] read = [.. path.Select(level => level.Measured ?? double.NaN)];
            Draw(plot, read, PlotStyle.Measured, below: true).LegendText = "measured";
        }
        plot.Axes.Bottom.TickGenerator = new NumericManual(
            [.. Enumerable.Range(0, path.Length).Select(i => (double)i)],
            [.. path.Select(level => Wrapped(level.Name))]
        );
        var ticks = Enumerable.Range(-6, 10).Select(power => (double)power).ToArray();
        plot.Axes.Left.TickGenerator = new NumericManual(
            ticks,
            [.. ticks.Select(power => EngineeringNotation.Format(Math.Pow(10, power), "V"))]
        );
        plot.Axes.Margins(0.1, 0.2);
        plot.ShowLegend(Alignment.UpperLeft).FontSize = 15;
        return PlotStyle.DataAddress(plot, 900, 480);
    }

    private static ScottPlot.Plottables.Scatter Draw(
        Plot plot,
        double[] volts,
        Color color,
        bool below
    )
    {
        int[] shown = [.. Enumerable.Range(0, volts.Length).Where(i => volts[i] > LeastVolts)];
        var line = plot.Add.Scatter(
            shown.Select(i => (double)i).ToArray(),
            shown.Select(i => Math.Log10(volts[i])).ToArray(),
            color
        );
        line.LineWidth = below ? 0 : 3;
        line.MarkerSize = 13;
        line.MarkerShape = below ? MarkerShape.FilledDiamond : MarkerShape.FilledCircle;
        foreach (var i in shown)
        {
            var text = plot.Add.Text(
                EngineeringNotation.Format(volts[i], "V", 3),
                i,
                Math.Log10(volts[i])
            );
            text.LabelFontSize = 14;
            text.LabelFontColor = color;
            text.LabelAlignment = below ? Alignment.UpperCenter : Alignment.LowerCenter;
            text.OffsetY = below ? 10 : -10;
        }
        return line;
    }

    private static string Wrapped(string name)
    {
        var words = name.Length > 40 ? name[..40] : name;
        var middle = words.IndexOf(' ', words.Length / 3);
        return middle < 0 ? words : $"{words[..middle]}\n{words[(middle + 1)..]}";
    }
}

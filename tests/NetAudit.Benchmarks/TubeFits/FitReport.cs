using System.Globalization;
using System.Text;

namespace NetAudit.Benchmarks.TubeFits;

/// <summary>How far the fitted laws are from every published figure, as Markdown tables.</summary>
internal sealed class FitReport(ReferenceData data, TubeLibrary library)
{
    private readonly StringBuilder _text = new();

    public static string Markdown(ReferenceData data, TubeLibrary library)
    {
        var report = new FitReport(data, library);
        report.AppendTriodePoints();
        report.AppendCurves();
        report.AppendStages();
        report.AppendPentodePoints();
        report.AppendRectifiers();
        return report._text.ToString();
    }

    private void AppendTriodePoints()
    {
        Line("### Triodes: published points");
        Line();
        Line(
            "| type | Va V | Vg V | Ia mA | law | gm mA/V | law | ra kΩ | law |\n|---|---|---|---|---|---|---|---|---|"
        );
        foreach (var (type, tube) in library.Triodes)
        {
            foreach (var point in Distinct(data.Points.Where(point => point.Type == type)))
            {
                var grid = point.Grid!.Value;
                Line(
                    $"| {type} | {point.Plate} | {grid} | {Milli(point.PlateAmps)} | {Error(tube.PlateAmps(point.Plate, grid), point.PlateAmps)} | {Milli(point.Transconductance)} | {Error(tube.Transconductance(point.Plate, grid), point.Transconductance)} | {point.PlateOhms / 1e3} | {Error(tube.PlateOhms(point.Plate, grid), point.PlateOhms)} |"
                );
            }
        }
        Line();
    }

    private void AppendCurves()
    {
        Line("### Triodes: curve families, root mean square of the relative error");
        Line();
        Line("| type | Ia from | points | RMS | worst |\n|---|---|---|---|---|");
        foreach (var (type, tube) in library.Triodes)
        {
            foreach (var family in data.Curves.Where(c => c.Type == type).GroupBy(c => c.Role))
            {
                AppendFamily(
                    family.Key == "fit" ? type : $"{type}, {family.Key}",
                    tube,
                    [.. family]
                );
            }
        }
        Line();
    }

    private void AppendFamily(string name, TriodeParameters tube, CurvePoint[] family)
    {
        foreach (var from in (double[])[0.2e-3, 1e-3, 3e-3])
        {
            var errors = family
                .Where(point => point.PlateAmps >= from)
                .Select(point => tube.PlateAmps(point.Plate, point.Grid) / point.PlateAmps - 1)
                .ToArray();
            if (errors.Length > 5)
            {
                var rms = Math.Sqrt(errors.Average(error => error * error));
                Line(
                    $"| {name} | {Milli(from)} mA | {errors.Length} | {Percent(rms)} | {Percent(errors.MaxBy(Math.Abs))} |"
                );
            }
        }
    }

    private void AppendStages()
    {
        Line("### Triodes: resistance-coupled stages that print a plate current");
        Line();
        Line("| type | Vb V | Ra kΩ | Rk kΩ | Ia mA | law |\n|---|---|---|---|---|---|");
        foreach (var (type, tube) in library.Triodes)
        {
            foreach (var stage in data.Stages.Where(stage => stage.Type == type))
            {
                Line(
                    $"| {type} | {stage.Supply} | {stage.PlateOhms / 1e3} | {stage.CathodeOhms / 1e3} | {Milli(stage.PlateAmps)} | {Error(tube.StageAmps(stage), stage.PlateAmps)} |"
                );
            }
        }
        Line();
    }

    private void AppendPentodePoints()
    {
        Line("### Pentodes and beam tetrodes: published points");
        Line();
        Line(
            "| type | use | Va V | Vs V | Vg V | Ia mA | law | Is mA | law | gm mA/V | law | ra kΩ | law |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|"
        );
        foreach (var (type, tube) in library.Pentodes)
        {
            foreach (var point in Distinct(data.Points.Where(point => point.Type == type)))
            {
                var (plate, screen) = PentodeFit.AtPublishedCurrents(tube, point);
                var bias = point.Grid is { } volts
                    ? volts.ToString(CultureInfo.InvariantCulture)
                    : $"{point.CathodeOhms} Ω";
                var gm = tube.Transconductance(point.Plate, point.Grid ?? 0, point.Screen!.Value);
                var ohms = tube.PlateOhms(point.Plate, point.Grid ?? 0, point.Screen.Value);
                Line(
                    $"| {type} | {point.Role} | {point.Plate} | {point.Screen} | {bias} | {Milli(point.PlateAmps)} | {Error(plate, point.PlateAmps)} | {Milli(point.ScreenAmps)} | {Error(screen, point.ScreenAmps)} | {Milli(point.Transconductance)} | {Error(gm, point.Transconductance)} | {point.PlateOhms / 1e3} | {Error(ohms, point.PlateOhms)} |"
                );
            }
        }
        Line();
    }

    private void AppendRectifiers()
    {
        Line("### Rectifiers, per plate");
        Line();
        Line("| type | drop V | I mA | law |\n|---|---|---|---|");
        foreach (var (type, tube) in library.Rectifiers)
        {
            foreach (var point in data.Rectifiers.Where(point => point.Type == type))
            {
                Line(
                    $"| {type} | {point.Drop} | {Milli(point.PlateAmps)} | {Error(tube.PlateAmps(point.Drop), point.PlateAmps)} |"
                );
            }
        }
    }

    // Several makers print the same point; once is enough here.
    private static IEnumerable<TubePoint> Distinct(IEnumerable<TubePoint> points) =>
        points.DistinctBy(point =>
            (point.Plate, point.Screen, point.Grid, point.CathodeOhms, point.PlateOhms)
        );

    private static string Milli(double? amps) =>
        amps is { } value ? (value * 1e3).ToString("0.###", CultureInfo.InvariantCulture) : "";

    private static string Error(double found, double? published) =>
        published is { } value ? Percent(found / value - 1) : "";

    private static string Percent(double ratio) =>
        (ratio * 100).ToString("+0.0;-0.0;0.0", CultureInfo.InvariantCulture) + " %";

    private void Line(FormattableString text) =>
        _text.Append(text.ToString(CultureInfo.InvariantCulture)).Append('\n');

    private void Line(string text = "") => _text.Append(text).Append('\n');
}

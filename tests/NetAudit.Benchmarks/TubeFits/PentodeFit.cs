namespace NetAudit.Benchmarks.TubeFits;

/// <summary>Fits a pentode or beam tetrode to its operating points.</summary>
internal static class PentodeFit
{
    private const double PointTolerance = 0.015;
    private const double ScreenTolerance = 0.03;
    private const double TransconductanceTolerance = 0.04;
    private const double PlateOhmsTolerance = 0.10;
    private const double KneeTolerance = 0.12;

    // Push-pull points are given to two digits, at supply voltages.
    private const double CheckTolerance = 0.10;

    /// <summary>Types whose beam plates sharpen the knee; a wire suppressor leaves it round.</summary>
    private static readonly string[] BeamTypes = ["6V6GT", "6L6GC", "KT88", "6550"];

    public static PentodeParameters Fit(ReferenceData data, string type)
    {
        var points = data
            .Points.Where(point => point.Type == type && point.Role == "fit")
            .ToArray();
        var checks = data
            .Points.Where(point => point.Type == type && point.Role == "check")
            .ToArray();
        var beam = BeamTypes.Contains(type);
        var typical = Pack(Typical(points, beam));
        // How far what the sheets leave open may go from that: mu, plate mu, contact, width, knee, square, share.
        (int Index, double Trust)[] trusts =
        [
            (0, 0.10),
            (1, 0.7),
            (2, 0.5),
            (4, 0.5),
            (5, 0.5),
            (6, 0.7),
            (7, 1.0),
        ];
        double[] Residuals(double[] packed)
        {
            var tube = Unpack(packed, beam);
            return
            [
                .. points.SelectMany(point => PointMisfits(tube, point)),
                .. checks.Select(point =>
                    Misfit.Log(AtPublishedCurrents(tube, point).Plate, point.PlateAmps)
                    / CheckTolerance
                ),
                .. trusts.Select(trust =>
                    (packed[trust.Index] - typical[trust.Index]) / trust.Trust
                ),
            ];
        }
        return Unpack(LeastSquares.Minimise(Residuals, typical), beam);
    }

    /// <summary>
    /// Plate and screen current at the electrode voltages that a point's own currents leave behind its cathode and screen resistors,
    /// so that no circuit need be solved.
    /// </summary>
    public static (double Plate, double Screen) AtPublishedCurrents(
        PentodeParameters tube,
        TubePoint point
    )
    {
        var cathode = (point.PlateAmps + point.ScreenAmps!.Value) * point.CathodeOhms;
        var bias = point.Grid is null ? cathode : 0;
        var grid = point.Grid ?? -cathode;
        var plate = point.Plate - bias;
        var screen = point.Screen!.Value - bias - point.ScreenAmps.Value * point.ScreenFeedOhms;
        return (tube.PlateAmps(plate, grid, screen), tube.ScreenAmps(plate, grid, screen));
    }

    /// <summary>
    /// At full output into its load the plate swings down to <c>Va - sqrt(2 Po R)</c> with the grid near zero, and the load line says
    /// what current flows there: so the sheets' output powers tell where the knee lies.
    /// </summary>
    public static (double Volts, double Amps) Knee(TubePoint point)
    {
        var load = point.LoadOhms!.Value;
        var swing = Math.Sqrt(2 * point.OutputWatts!.Value * load);
        // With 10 % distortion the swing is not a sine's, and the sum may come out below any real knee.
        return (Math.Max(point.Plate - swing, 0.06 * point.Plate), point.PlateAmps + swing / load);
    }

    private static IEnumerable<double> PointMisfits(PentodeParameters tube, TubePoint point)
    {
        var (plate, grid, screen) = (point.Plate, point.Grid!.Value, point.Screen!.Value);
        yield return Misfit.Log(tube.PlateAmps(plate, grid, screen), point.PlateAmps)
            / PointTolerance;
        yield return Misfit.Log(tube.ScreenAmps(plate, grid, screen), point.ScreenAmps!.Value)
            / ScreenTolerance;
        yield return Misfit.Log(
            tube.Transconductance(plate, grid, screen),
            point.Transconductance!.Value
        ) / TransconductanceTolerance;
        yield return Misfit.Log(tube.PlateOhms(plate, grid, screen), point.PlateOhms!.Value)
            / PlateOhmsTolerance;
        if (point.OutputWatts is not null)
        {
            var (volts, amps) = Knee(point);
            // The grid is driven to where grid current sets in.
            yield return Misfit.Log(tube.PlateAmps(volts, -0.5, screen), amps) / KneeTolerance;
        }
    }

    private static PentodeParameters Typical(TubePoint[] points, bool beam)
    {
        var first = points[0];
        var mu = points.Max(point => point.Mu ?? 0);
        var drive = first.Screen!.Value / mu + first.Grid!.Value;
        var space = first.PlateAmps + first.ScreenAmps!.Value;
        return new(
            mu,
            mu * 60,
            0.3,
            space / Math.Pow(drive, 1.5),
            0.008 * first.Screen.Value,
            20,
            beam ? 1e-3 : 0,
            beam ? 0.02 : 0.05
        );
    }

    private static double[] Pack(PentodeParameters t) =>
        [
            Math.Log(t.Mu),
            Math.Log(t.PlateMu),
            t.Contact,
            Math.Log(t.Perveance),
            Math.Log(t.Width),
            Math.Log(t.Knee),
            Math.Log(t.KneeSquare + 1e-12),
            Math.Log(t.ScreenShare),
        ];

    private static PentodeParameters Unpack(double[] p, bool beam) =>
        new(
            Math.Exp(p[0]),
            Math.Exp(p[1]),
            p[2],
            Math.Exp(p[3]),
            Math.Exp(p[4]),
            Math.Exp(p[5]),
            beam ? Math.Exp(p[6]) : 0,
            Math.Exp(p[7])
        );
}

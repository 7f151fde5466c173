namespace NetAudit.Benchmarks.TubeFits;

/// <summary>Fits a tetrode or pentode to its operating points.</summary>
internal static class PentodeFit
{
    public static PentodeParameters Fit(ReferenceData data, string type)
    {
        var points = data
            .Points.Where(point => point.Type == type && point.Role == "fit")
            .ToArray();
        var weak = data
            .Points.Where(point => point.Type == type && point.Role == "check")
            .ToArray();
        var first = points[0];
        var mu = points.Max(point => point.Mu ?? 0);
        var typical = Pack(
            new PentodeParameters(
                mu,
                mu * 60,
                0.3,
                SpaceAt(first) / Math.Pow(first.Screen!.Value / mu + first.Grid!.Value, 1.5),
                1.5,
                0.008 * first.Screen.Value,
                15,
                0.04
            )
        );
        double[] Residuals(double[] packed)
        {
            var tube = Unpack(packed);
            var misfits = new List<double>();
            foreach (var point in points)
            {
                var (plate, grid, screen) = (point.Plate, point.Grid!.Value, point.Screen!.Value);
                misfits.Add(Log(tube.PlateAmps(plate, grid, screen), point.PlateAmps) / 0.015);
                if (point.ScreenAmps is { } screenAmps)
                {
                    misfits.Add(Log(tube.ScreenAmps(plate, grid, screen), screenAmps) / 0.03);
                }
                if (point.Transconductance is { } gm)
                {
                    misfits.Add(Log(Slope(tube, plate, grid, screen), gm) / 0.04);
                }
                if (point.PlateOhms is { } ohms)
                {
                    misfits.Add(Log(1 / PlateSlope(tube, plate, grid, screen), ohms) / 0.10);
                }
                if (point.LoadOhms is { } load && point.OutputWatts is { } watts)
                {
                    misfits.Add(KneeMisfit(tube, point, load, watts) / 0.15);
                }
            }
            foreach (var point in weak)
            {
                // Read at the published currents, so that no circuit need be solved.
                var cathode = (point.PlateAmps + point.ScreenAmps!.Value) * point.CathodeOhms;
                var grid = point.Grid ?? -cathode;
                var bias = point.Grid is null ? cathode : 0;
                var screen =
                    point.Screen!.Value - bias - point.ScreenAmps.Value * point.ScreenFeedOhms;
                var plate = point.Plate - bias;
                misfits.Add(Log(tube.PlateAmps(plate, grid, screen), point.PlateAmps) / 0.10);
            }
            // What the sheets leave open stays near the textbook form: mu, contact potential, 3/2 power, roundness, knee.
            double[] trust = [0.10, 0.7, 0.5, 0, 0.15, 0.5, 0.7, 1.0];
            for (var i = 0; i < packed.Length; i++)
            {
                if (trust[i] > 0)
                {
                    misfits.Add((packed[i] - typical[i]) / trust[i]);
                }
            }
            return [.. misfits];
        }
        return Unpack(LeastSquares.Minimise(Residuals, typical));
    }

    /// <summary>
    /// At full output into its load the plate swings down to <c>Va - sqrt(2 Po R)</c> with the grid near zero, and the load line says
    /// what current flows there. The sheets' output powers so tell where the knee lies.
    /// </summary>
    private static double KneeMisfit(
        PentodeParameters tube,
        TubePoint point,
        double load,
        double watts
    )
    {
        var swing = Math.Sqrt(2 * watts * load);
        var plate = Math.Max(point.Plate - swing, 0.06 * point.Plate);
        return Log(
            tube.PlateAmps(plate, -0.5, point.Screen!.Value),
            point.PlateAmps + swing / load
        );
    }

    public static double Slope(PentodeParameters tube, double plate, double grid, double screen) =>
        (tube.PlateAmps(plate, grid + 1e-3, screen) - tube.PlateAmps(plate, grid - 1e-3, screen))
        / 2e-3;

    public static double PlateSlope(
        PentodeParameters tube,
        double plate,
        double grid,
        double screen
    ) =>
        (tube.PlateAmps(plate + 1e-2, grid, screen) - tube.PlateAmps(plate - 1e-2, grid, screen))
        / 2e-2;

    private static double SpaceAt(TubePoint point) => point.PlateAmps + point.ScreenAmps!.Value;

    private static double[] Pack(PentodeParameters t) =>
        [
            Math.Log(t.Mu),
            Math.Log(t.PlateMu),
            t.Contact,
            Math.Log(t.Perveance),
            t.Power,
            Math.Log(t.Width),
            Math.Log(t.Knee),
            Math.Log(t.ScreenShare),
        ];

    private static PentodeParameters Unpack(double[] p) =>
        new(
            Math.Exp(p[0]),
            Math.Exp(p[1]),
            p[2],
            Math.Exp(p[3]),
            p[4],
            Math.Exp(p[5]),
            Math.Exp(p[6]),
            Math.Exp(p[7])
        );

    private static double Log(double found, double published) =>
        Math.Log(Math.Max(found, 1e-12) / published);
}

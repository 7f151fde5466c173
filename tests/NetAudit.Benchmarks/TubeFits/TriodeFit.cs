namespace NetAudit.Benchmarks.TubeFits;

/// <summary>Fits a triode to its curves, operating points and resistance-coupled stages.</summary>
internal static class TriodeFit
{
    public static TriodeParameters Fit(ReferenceData data, string type)
    {
        var curves = data.Curves.Where(point => point.Type == type).ToArray();
        var points = data
            .Points.Where(point => point.Type == type && point.Role == "fit")
            .ToArray();
        var stages = data.Stages.Where(stage => stage.Type == type).ToArray();
        var mu = points.Max(point => point.Mu ?? 0);
        var start = Pack(
            new TriodeParameters(mu, 0.5, 1e-3 * 20 / mu, 1.4, 8 / mu + 0.1, 0.05 / mu, 5, 6)
        );
        var typical = Pack(new TriodeParameters(mu, 0.4, 1e-3, 1.45, 16 / mu, 0.05 / mu, 4, 6));
        double[] Residuals(double[] packed)
        {
            var tube = Unpack(packed);
            var misfits = new List<double>();
            foreach (var point in points)
            {
                var grid = point.Grid!.Value;
                misfits.Add(Log(tube.PlateAmps(point.Plate, grid), point.PlateAmps) / 0.02);
                if (point.Transconductance is { } gm)
                {
                    misfits.Add(Log(Slope(tube, point.Plate, grid), gm) / 0.05);
                }
                if (point.PlateOhms is { } ohms)
                {
                    misfits.Add(Log(1 / PlateSlope(tube, point.Plate, grid), ohms) / 0.10);
                }
            }
            foreach (var point in curves)
            {
                var tolerance = Math.Sqrt(
                    0.05 * 0.05 + Square(0.15 * point.ReadingError / point.PlateAmps)
                );
                misfits.Add(
                    Log(tube.PlateAmps(point.Plate, point.Grid), point.PlateAmps) / tolerance
                );
            }
            foreach (var stage in stages)
            {
                misfits.Add(Log(StageAmps(tube, stage), stage.PlateAmps) / 0.03);
            }
            // Where a sheet prints few points the shape stays near that of the types with curves.
            foreach (var index in (int[])[1, 3, 4, 5, 6, 7])
            {
                misfits.Add((packed[index] - typical[index]) / 1.0);
            }
            return [.. misfits];
        }
        return Unpack(LeastSquares.Minimise(Residuals, start));
    }

    /// <summary>Plate current of a stage with cathode resistor: by bisection, the tube's current falls as the assumed one rises.</summary>
    public static double StageAmps(TriodeParameters tube, CoupledStage stage)
    {
        double low = 0,
            high = stage.Supply / stage.PlateOhms;
        for (var i = 0; i < 80; i++)
        {
            var amps = 0.5 * (low + high);
            var plate = stage.Supply - amps * (stage.PlateOhms + stage.CathodeOhms);
            if (tube.PlateAmps(plate, -amps * stage.CathodeOhms) > amps)
            {
                low = amps;
            }
            else
            {
                high = amps;
            }
        }
        return 0.5 * (low + high);
    }

    public static double Slope(TriodeParameters tube, double plate, double grid) =>
        (tube.PlateAmps(plate, grid + 1e-3) - tube.PlateAmps(plate, grid - 1e-3)) / 2e-3;

    public static double PlateSlope(TriodeParameters tube, double plate, double grid) =>
        (tube.PlateAmps(plate + 1e-2, grid) - tube.PlateAmps(plate - 1e-2, grid)) / 2e-2;

    private static double[] Pack(TriodeParameters t) =>
        [
            Math.Log(t.Mu),
            t.Contact,
            Math.Log(t.Perveance),
            t.Power,
            Math.Log(t.Width),
            Math.Log(t.Widening),
            t.Turn / 10,
            Math.Log(t.Knee),
        ];

    private static TriodeParameters Unpack(double[] p) =>
        new(
            Math.Exp(p[0]),
            p[1],
            Math.Exp(p[2]),
            p[3],
            Math.Exp(p[4]),
            Math.Exp(p[5]),
            10 * p[6],
            Math.Exp(p[7])
        );

    private static double Log(double found, double published) =>
        Math.Log(Math.Max(found, 1e-12) / published);

    private static double Square(double x) => x * x;
}

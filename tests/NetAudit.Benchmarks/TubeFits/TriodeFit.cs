namespace NetAudit.Benchmarks.TubeFits;

/// <summary>Fits a triode to its operating points, curves and resistance-coupled stages.</summary>
internal static class TriodeFit
{
    // Tolerances, relative: what the sheets' figures are worth against each other.
    private const double PointTolerance = 0.02;
    private const double TransconductanceTolerance = 0.06;
    private const double PlateOhmsTolerance = 0.10;
    private const double CurveTolerance = 0.05;
    private const double StageTolerance = 0.03;

    // The stated reading errors of a curve are limits; less than a fifth of one is taken as standard deviation.
    private const double ReadingErrorPart = 0.15;

    /// <summary>Types whose curves, from 0 to -30 V of bias, show the amplification factor fall from 20 to 13: a second, open section.</summary>
    private static readonly string[] OfTwoSections = ["12AU7"];

    public static TriodeParameters Fit(ReferenceData data, string type)
    {
        var curves = data
            .Curves.Where(point => point.Type == type && point.Role == "fit")
            .ToArray();
        var points = data
            .Points.Where(point => point.Type == type && point.Role == "fit")
            .ToArray();
        var stages = data.Stages.Where(stage => stage.Type == type).ToArray();
        var mu = points.Max(point => point.Mu ?? 0);
        var typical = new TriodeParameters(mu, 0.6, 0.1 / mu, 8 / mu + 0.1, 0.1 / mu, 15);
        var start = Pack(
            OfTwoSections.Contains(type)
                ? typical with
                {
                    Mu = 1.2 * mu,
                    Perveance = 0.01 / mu,
                    Open = new(0.7 * mu, 0.005 / mu),
                }
                : typical
        );
        double[] Residuals(double[] packed)
        {
            var tube = Unpack(packed);
            return
            [
                .. points.SelectMany(point => PointMisfits(tube, point)),
                .. curves.Select(point => CurveMisfit(tube, point)),
                .. stages.Select(stage =>
                    Misfit.Log(tube.StageAmps(stage), stage.PlateAmps) / StageTolerance
                ),
                // What few points leave open (all but mu and perveance) stays within a factor of about e of the types with curves.
                .. ((int[])[1, 3, 4, 5]).Select(index => packed[index] - start[index]),
            ];
        }
        return Unpack(LeastSquares.Minimise(Residuals, start));
    }

    private static IEnumerable<double> PointMisfits(TriodeParameters tube, TubePoint point)
    {
        var grid = point.Grid!.Value;
        yield return Misfit.Log(tube.PlateAmps(point.Plate, grid), point.PlateAmps)
            / PointTolerance;
        if (point.Transconductance is { } siemens)
        {
            yield return Misfit.Log(tube.Transconductance(point.Plate, grid), siemens)
                / TransconductanceTolerance;
        }
        if (point.PlateOhms is { } ohms)
        {
            yield return Misfit.Log(tube.PlateOhms(point.Plate, grid), ohms) / PlateOhmsTolerance;
        }
    }

    private static double CurveMisfit(TriodeParameters tube, CurvePoint point)
    {
        var reading = ReadingErrorPart * point.ReadingError / point.PlateAmps;
        return Misfit.Log(tube.PlateAmps(point.Plate, point.Grid), point.PlateAmps)
            / Math.Sqrt(CurveTolerance * CurveTolerance + reading * reading);
    }

    private static double[] Pack(TriodeParameters t) =>
        [
            Math.Log(t.Mu),
            t.Contact,
            Math.Log(t.Perveance),
            Math.Log(t.Width),
            Math.Log(t.Widening),
            Math.Log(t.Knee),
            .. t.Open is { } open ? (double[])[Math.Log(open.Mu), Math.Log(open.Perveance)] : [],
        ];

    private static TriodeParameters Unpack(double[] p) =>
        new(
            Math.Exp(p[0]),
            p[1],
            Math.Exp(p[2]),
            Math.Exp(p[3]),
            Math.Exp(p[4]),
            Math.Exp(p[5]),
            p.Length > 6 ? new(Math.Exp(p[6]), Math.Exp(p[7])) : null
        );
}

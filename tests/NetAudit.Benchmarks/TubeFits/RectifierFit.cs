namespace NetAudit.Benchmarks.TubeFits;

/// <summary>A rectifier, per plate: <c>PERV soft(V, VW)^EX</c>.</summary>
internal sealed record RectifierParameters(double Perveance, double Power, double Width)
{
    public double PlateAmps(double volts) =>
        Perveance * Math.Pow(TubeLaws.Soft(volts, Width), Power);

    public RectifierParameters Rounded() =>
        new(TubeLaws.Round(Perveance), TubeLaws.Round(Power), Width);
}

/// <summary>Fits a rectifier's perveance law.</summary>
internal static class RectifierFit
{
    /// <summary>Rounds the turn-on, volts: two to three times kT/q of an oxide cathode.</summary>
    private const double Width = 0.25;

    /// <summary>The 3/2 power through one point, the power as well where a sheet gives two.</summary>
    public static RectifierParameters Fit(ReferenceData data, string type)
    {
        var points = data.Rectifiers.Where(point => point.Type == type).ToArray();
        var (first, last) = (points[0], points[^1]);
        var power =
            points.Length == 1
                ? 1.5
                : Math.Log(last.PlateAmps / first.PlateAmps) / Math.Log(last.Drop / first.Drop);
        return new RectifierParameters(first.PlateAmps / Math.Pow(first.Drop, power), power, Width);
    }
}

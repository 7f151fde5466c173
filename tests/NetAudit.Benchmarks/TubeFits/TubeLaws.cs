using System.Globalization;

namespace NetAudit.Benchmarks.TubeFits;

/// <summary>The laws of <c>tubes.lib</c> in closed form, volts and amperes, for the fit.</summary>
internal static class TubeLaws
{
    /// <summary>
    /// Positive part of <paramref name="x"/> rounded over <paramref name="width"/> volts: width ln(1 + exp(x / width)), written so
    /// that no exponential overflows.
    /// </summary>
    public static double Soft(double x, double width)
    {
        var u = x / width;
        return width * (Math.Log(1 + Math.Exp(Math.Min(u, 40))) + Math.Max(u - 40, 0));
    }

    /// <summary>Space current from the effective grid voltage: perveance times its rounded positive part to a power.</summary>
    public static double SpaceCurrent(
        double effective,
        double width,
        double perveance,
        double power
    ) => perveance * Math.Pow(Soft(effective, width), power);

    /// <summary>Rounded to the five significant digits that the library prints.</summary>
    public static double Round(double value) =>
        double.Parse(
            value.ToString("G5", CultureInfo.InvariantCulture),
            CultureInfo.InvariantCulture
        );
}

/// <summary>
/// Grid current, with contact potential zero: about 20 uA at 0 V and 0.3 uA at -0.45 V for a 12AX7. The perveance and shape follow the
/// measured specimens of Dempwolf and Zoelzer (DAFx 2011, from memory: 0.6 mA/V^1.35); the slope in the retarding field is 0.1 V per
/// e-fold, an oxide cathode's kT/q. Philips' limit for the type is 0.3 uA at -0.9 V (from memory).
/// </summary>
internal static class GridLaw
{
    public const double Width = 0.15;

    /// <summary>Grid perveance of a triode as a part of the plate's (gives 0.6 mA/V^1.5 for a 12AX7).</summary>
    public const double TriodePart = 0.5;

    /// <summary>The same for power tubes and pentodes, whose space current is set by the screen (common practice, no source).</summary>
    public const double PentodePart = 0.15;
}

/// <summary>A rectifier, per plate.</summary>
internal sealed record RectifierParameters(double Perveance, double Power, double Width)
{
    public double PlateAmps(double volts) => TubeLaws.SpaceCurrent(volts, Width, Perveance, Power);

    public RectifierParameters Rounded() =>
        new(TubeLaws.Round(Perveance), TubeLaws.Round(Power), Width);
}

/// <summary>A triode: plate current from plate and grid volts against the cathode.</summary>
internal sealed record TriodeParameters(
    double Mu,
    double Contact,
    double Perveance,
    double Power,
    double Width,
    double Widening,
    double Turn,
    double Knee
)
{
    public double GridPerveance => TubeLaws.Round(GridLaw.TriodePart * Perveance);

    public TriodeParameters Rounded() =>
        new(
            TubeLaws.Round(Mu),
            TubeLaws.Round(Contact),
            TubeLaws.Round(Perveance),
            TubeLaws.Round(Power),
            TubeLaws.Round(Width),
            TubeLaws.Round(Widening),
            TubeLaws.Round(Turn),
            TubeLaws.Round(Knee)
        );

    public double PlateAmps(double plate, double grid)
    {
        var past = plate - Turn;
        var root = Math.Sqrt(past * past + Knee * Knee);
        var width = Width + Widening * (past + root);
        return TubeLaws.SpaceCurrent(grid + Contact + plate / Mu, width, Perveance, Power)
            * (0.5 + 0.5 * past / root);
    }
}

/// <summary>A tetrode or pentode: the space current is shared between plate and screen.</summary>
internal sealed record PentodeParameters(
    double Mu,
    double PlateMu,
    double Contact,
    double Perveance,
    double Power,
    double Width,
    double Knee,
    double ScreenShare
)
{
    /// <summary>Rounds the plate voltage at zero, volts squared.</summary>
    public const double PlateRounding = 4.0;

    public double GridPerveance => TubeLaws.Round(GridLaw.PentodePart * Perveance);

    public PentodeParameters Rounded() =>
        new(
            TubeLaws.Round(Mu),
            TubeLaws.Round(PlateMu),
            TubeLaws.Round(Contact),
            TubeLaws.Round(Perveance),
            TubeLaws.Round(Power),
            TubeLaws.Round(Width),
            TubeLaws.Round(Knee),
            TubeLaws.Round(ScreenShare)
        );

    public double SpaceAmps(double plate, double grid, double screen) =>
        TubeLaws.SpaceCurrent(
            grid + Contact + screen / Mu + plate / PlateMu,
            Width,
            Perveance,
            Power
        );

    public double ScreenFraction(double plate)
    {
        var positive = 0.5 * (plate + Math.Sqrt(plate * plate + PlateRounding));
        return ScreenShare + (1 - ScreenShare) * Knee / (Knee + positive);
    }

    public double PlateAmps(double plate, double grid, double screen) =>
        SpaceAmps(plate, grid, screen) * (1 - ScreenFraction(plate));

    public double ScreenAmps(double plate, double grid, double screen) =>
        SpaceAmps(plate, grid, screen) * ScreenFraction(plate);
}

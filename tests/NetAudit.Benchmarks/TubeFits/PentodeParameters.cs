namespace NetAudit.Benchmarks.TubeFits;

/// <summary>
/// A pentode or beam tetrode: the space current <c>PERV soft(Vg + VCT + Vs/MU + Vp/MUP, VW)^1.5</c> is shared, a part
/// <c>SHARE + (1 - SHARE) / (1 + Vp+/VKN + KNQ Vp+^2)</c> going to the screen, so that at no plate voltage the screen takes nearly all.
/// </summary>
internal sealed record PentodeParameters(
    double Mu,
    double PlateMu,
    double Contact,
    double Perveance,
    double Width,
    double Knee,
    double KneeSquare,
    double ScreenShare
)
{
    /// <summary>Below a few volts the screen collects nothing either, volts.</summary>
    public const double ScreenKnee = 2;

    public double GridPerveance => TubeLaws.Round(GridLaw.PentodePart * Perveance);

    public double PlateAmps(double plate, double grid, double screen) =>
        SpaceAmps(plate, grid, screen) * (1 - ScreenFraction(plate));

    public double ScreenAmps(double plate, double grid, double screen) =>
        SpaceAmps(plate, grid, screen)
        * ScreenFraction(plate)
        * TubeLaws.Collected(screen, ScreenKnee);

    /// <summary>Transconductance grid to plate, siemens.</summary>
    public double Transconductance(double plate, double grid, double screen) =>
        (PlateAmps(plate, grid + 1e-3, screen) - PlateAmps(plate, grid - 1e-3, screen)) / 2e-3;

    /// <summary>Plate resistance, ohms.</summary>
    public double PlateOhms(double plate, double grid, double screen) =>
        2e-2 / (PlateAmps(plate + 1e-2, grid, screen) - PlateAmps(plate - 1e-2, grid, screen));

    public PentodeParameters Rounded() =>
        new(
            TubeLaws.Round(Mu),
            TubeLaws.Round(PlateMu),
            TubeLaws.Round(Contact),
            TubeLaws.Round(Perveance),
            TubeLaws.Round(Width),
            TubeLaws.Round(Knee),
            TubeLaws.Round(KneeSquare),
            TubeLaws.Round(ScreenShare)
        );

    private double SpaceAmps(double plate, double grid, double screen) =>
        Perveance * TubeLaws.ThreeHalves(grid + Contact + screen / Mu + plate / PlateMu, Width);

    private double ScreenFraction(double plate)
    {
        var positive = TubeLaws.Soft(plate, TubeLaws.Retarding);
        return ScreenShare
            + (1 - ScreenShare) / (1 + positive / Knee + KneeSquare * positive * positive);
    }
}

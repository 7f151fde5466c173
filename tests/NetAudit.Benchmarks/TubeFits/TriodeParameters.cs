namespace NetAudit.Benchmarks.TubeFits;

/// <summary>
/// A triode: <c>Ip = PERV collected(Vp, VKN) soft(Vg + VCT + Vp/MU, VW + VWS Vp+)^1.5 / (1 + PFALL Vp+)</c>. The width of the soft
/// cut-off grows with the plate voltage because the grid wires leave islands that conduct longer than the rest; where a wide family of
/// curves shows it, the perveance falls with the plate voltage, since fewer and fewer islands conduct.
/// </summary>
internal sealed record TriodeParameters(
    double Mu,
    double Contact,
    double Perveance,
    double Width,
    double Widening,
    double Knee,
    double Falling
)
{
    /// <summary>Grid current per volt to the 3/2, amperes, in proportion to the perveance that the plate shows at zero bias.</summary>
    public double GridPerveance
    {
        get
        {
            var mu = Transconductance(100, 0) * PlateOhms(100, 0);
            return TubeLaws.Round(GridLaw.TriodePart * PlateAmps(100, 0) / Math.Pow(100 / mu, 1.5));
        }
    }

    public double PlateAmps(double plate, double grid)
    {
        var positive = TubeLaws.Soft(plate, TubeLaws.Retarding);
        return Perveance
            * TubeLaws.Collected(plate, Knee)
            * TubeLaws.ThreeHalves(grid + Contact + plate / Mu, Width + Widening * positive)
            / (1 + Falling * positive);
    }

    /// <summary>Transconductance, siemens.</summary>
    public double Transconductance(double plate, double grid) =>
        (PlateAmps(plate, grid + 1e-3) - PlateAmps(plate, grid - 1e-3)) / 2e-3;

    /// <summary>Plate resistance, ohms.</summary>
    public double PlateOhms(double plate, double grid) =>
        2e-2 / (PlateAmps(plate + 1e-2, grid) - PlateAmps(plate - 1e-2, grid));

    /// <summary>Plate current of a stage with cathode resistor, by bisection: the tube's current falls as the assumed one rises.</summary>
    public double StageAmps(CoupledStage stage)
    {
        double low = 0,
            high = stage.Supply / stage.PlateOhms;
        for (var i = 0; i < 60; i++)
        {
            var amps = 0.5 * (low + high);
            var plate = stage.Supply - amps * (stage.PlateOhms + stage.CathodeOhms);
            var enough = PlateAmps(plate, -amps * stage.CathodeOhms) > amps;
            (low, high) = enough ? (amps, high) : (low, amps);
        }
        return 0.5 * (low + high);
    }

    public TriodeParameters Rounded() =>
        new(
            TubeLaws.Round(Mu),
            TubeLaws.Round(Contact),
            TubeLaws.Round(Perveance),
            TubeLaws.Round(Width),
            TubeLaws.Round(Widening),
            TubeLaws.Round(Knee),
            TubeLaws.Round(Falling)
        );
}

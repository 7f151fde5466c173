namespace NetAudit.Benchmarks.TubeFits;

/// <summary>A part of a triode with an amplification factor of its own; the perveance in amperes per volt to the 3/2.</summary>
internal sealed record TriodeSection(double Mu, double Perveance);

/// <summary>
/// A triode: <c>Ip = collected(Vp, VKN) (PERV soft(Vg + VCT + Vp/MU, w)^1.5 + PERV2 soft(Vg + VCT + Vp/MU2, w)^1.5)</c>, where
/// <c>w = VW + VWS Vp+</c>. The width of the soft cut-off grows with the plate voltage because the grid wires leave islands that conduct
/// longer than the rest. The second section is a part of the cathode that sees a more open grid: it conducts beside the first and carries
/// the feet of the curves alone. Most types have none.
/// </summary>
internal sealed record TriodeParameters(
    double Mu,
    double Contact,
    double Perveance,
    double Width,
    double Widening,
    double Knee,
    TriodeSection? Open = null
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
        var collected = TubeLaws.Collected(plate, Knee);
        var width = Width + Widening * TubeLaws.Soft(plate, TubeLaws.Retarding);
        double Section(double mu, double perveance) =>
            perveance * collected * TubeLaws.ThreeHalves(grid + Contact + plate / mu, width);
        return Section(Mu, Perveance) + (Open is { } open ? Section(open.Mu, open.Perveance) : 0);
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
            Open is { } open ? new(TubeLaws.Round(open.Mu), TubeLaws.Round(open.Perveance)) : null
        );
}

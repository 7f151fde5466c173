using NetAudit.Benchmarks.TubeFits;

namespace NetAudit.Tests.Tubes;

/// <summary>Electrode currents by the fitted laws in closed form.</summary>
internal static class FittedCurrents
{
    public static TubeCurrents At(string type, TubeVoltages at)
    {
        foreach (var (name, tube) in FittedTubes.Library.Triodes)
        {
            if (name == type)
            {
                return new(
                    tube.PlateAmps(at.Plate, at.Grid) + Leakage(at),
                    GridAmps(tube.GridPerveance, at.Grid) - Leakage(at),
                    0
                );
            }
        }
        foreach (var (name, tube) in FittedTubes.Library.Pentodes)
        {
            if (name == type)
            {
                return new(
                    tube.PlateAmps(at.Plate, at.Grid, at.Screen) + Leakage(at),
                    GridAmps(tube.GridPerveance, at.Grid) - Leakage(at),
                    tube.ScreenAmps(at.Plate, at.Grid, at.Screen)
                );
            }
        }
        var rectifier = FittedTubes.Library.Rectifiers.Single(pair => pair.Type == type).Tube;
        return new(rectifier.PlateAmps(at.Plate), rectifier.PlateAmps(at.Grid), 0);
    }

    private static double Leakage(TubeVoltages at) =>
        (at.Plate - at.Grid) / TubeLaws.GridInsulation;

    private static double GridAmps(double perveance, double volts) =>
        perveance * TubeLaws.ThreeHalves(volts, GridLaw.Width);
}

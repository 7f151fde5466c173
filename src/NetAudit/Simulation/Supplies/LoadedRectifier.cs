namespace NetAudit.Simulation.Supplies;

/// <summary>A rectifier with a resistance as its load: which average voltage it settles at.</summary>
internal static class LoadedRectifier
{
    private const int MostIterations = 60;

    /// <summary>
    /// Solves for the reservoir's average volts with that load. Returns NaN when it does not settle. Afterwards
    /// <paramref name="rectifier"/> holds the solution, and d(volts)/d(input) = slope / (1/load - slope by volts).
    /// </summary>
    public static double Volts(
        RectifierSteadyState rectifier,
        RectifierInput input,
        double loadOhms
    )
    {
        // The current falls with the voltage and is convex, so Newton's method comes from below.
        input.Volts = 0;
        for (var iteration = 0; iteration < MostIterations; iteration++)
        {
            if (!rectifier.Solve(input))
            {
                return double.NaN;
            }
            var step =
                (rectifier.Amps - input.Volts / loadOhms) / (1 / loadOhms - rectifier.ByVolts);
            input.Volts += step;
            if (Math.Abs(step) <= 1e-10 * (1 + Math.Abs(input.Volts)))
            {
                return input.Volts;
            }
        }
        return double.NaN;
    }
}

namespace NetAudit.Simulation;

/// <summary>
/// Test currents of an ohmmeter: one a decade from 1 mA down to 1 nA. While its leads hang open it stands on its highest range, the smallest
/// current; touched down, it goes up until it finds a tenth of its full-scale volts (common practice, no source).
/// </summary>
/// <param name="MostVolts">Full-scale volts across the probes; above 0.</param>
internal readonly record struct TestLadder(double MostVolts)
{
    private static ReadOnlySpan<double> Currents => [1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9];

    /// <summary>The rung for a resistance that no current bends, ohms: the smallest current when even that finds too many volts.</summary>
    public int RungFor(double ohms)
    {
        for (var rung = 0; rung < Smallest; rung++)
        {
            if (Amperes(rung) * ohms <= MostVolts)
            {
                return rung;
            }
        }
        return Smallest;
    }

    /// <summary>The last rung.</summary>
    public static int Smallest => Currents.Length - 1;

    /// <summary>The current of a rung, amperes.</summary>
    public static double Amperes(int rung) => Currents[rung];

    /// <summary>Whether there is such a rung.</summary>
    public static bool Has(int rung) => rung >= 0 && rung < Currents.Length;
}

namespace NetAudit.Simulation.Devices;

/// <summary>
/// Current through a pn junction and the limiting of its voltage between iterations.
/// Sources: L. W. Nagel, SPICE2: A Computer Program to Simulate Semiconductor Circuits, ERL-M520, 1975, section on junction limiting;
/// the cubic reverse characteristic as in the SPICE3f5 diode.
/// </summary>
internal static class Junction
{
    /// <summary>Volts from which on steps are limited: where the characteristic bends most.</summary>
    public static double CriticalVoltage(double emissionVoltage, double saturationCurrent) =>
        emissionVoltage * Math.Log(emissionVoltage / (Math.Sqrt(2) * saturationCurrent));

    /// <summary>
    /// Amperes and siemens at a junction: I = Is (exp(v/nVt) - 1) above -3 nVt; below, I = -Is (1 + (3 nVt / (e v))^3), which joins it
    /// with a continuous slope and reaches -Is.
    /// </summary>
    public static void Evaluate(
        double volts,
        double saturationCurrent,
        double emissionVoltage,
        out double amperes,
        out double siemens
    )
    {
        if (volts >= -3 * emissionVoltage)
        {
            var exponential = Math.Exp(volts / emissionVoltage);
            amperes = saturationCurrent * (exponential - 1);
            siemens = saturationCurrent * exponential / emissionVoltage;
        }
        else
        {
            var ratio = 3 * emissionVoltage / (volts * Math.E);
            var cube = ratio * ratio * ratio;
            amperes = -saturationCurrent * (1 + cube);
            siemens = saturationCurrent * 3 * cube / volts;
        }
    }

    /// <summary>
    /// The voltage to evaluate at: a large step up the exponential is shortened to its logarithm. Returns true when it was.
    /// </summary>
    public static bool Limit(
        ref double volts,
        double oldVolts,
        double emissionVoltage,
        double criticalVoltage
    )
    {
        if (volts <= criticalVoltage || Math.Abs(volts - oldVolts) <= 2 * emissionVoltage)
        {
            return false;
        }
        if (oldVolts > 0)
        {
            var step = 1 + (volts - oldVolts) / emissionVoltage;
            volts = step > 0 ? oldVolts + emissionVoltage * Math.Log(step) : criticalVoltage;
        }
        else
        {
            volts = emissionVoltage * Math.Log(volts / emissionVoltage);
        }
        return true;
    }

    /// <summary>
    /// Saturation current at a temperature: Is (T/Tn)^(Xti/n) exp((T/Tn - 1) Eg / (n Vt)).
    /// Source: SPICE3 user manual, section 3.4.2.
    /// </summary>
    public static double SaturationCurrent(
        double nominal,
        double celsius,
        double nominalCelsius,
        double energyGap,
        double exponent,
        double emission
    )
    {
        var ratio =
            (celsius + PhysicalConstants.Kelvin) / (nominalCelsius + PhysicalConstants.Kelvin);
        return nominal
            * Math.Exp(
                (ratio - 1) * energyGap / (emission * PhysicalConstants.ThermalVoltage(celsius))
                    + exponent / emission * Math.Log(ratio)
            );
    }
}

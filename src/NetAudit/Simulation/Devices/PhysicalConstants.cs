namespace NetAudit.Simulation.Devices;

/// <summary>Physical constants, CODATA 2018 exact values, and the temperatures SPICE measures against.</summary>
internal static class PhysicalConstants
{
    public const double BoltzmannOverCharge = 1.380649e-23 / 1.602176634e-19;
    public const double Charge = 1.602176634e-19;
    public const double VacuumPermittivity = 8.8541878128e-12;
    public const double Kelvin = 273.15;

    /// <summary>Default of TNOM: 27 °C (SPICE3 user manual, section 4.1).</summary>
    public const double NominalCelsius = 27.0;

    /// <summary>kT/q in volts.</summary>
    public static double ThermalVoltage(double celsius) => BoltzmannOverCharge * (celsius + Kelvin);
}

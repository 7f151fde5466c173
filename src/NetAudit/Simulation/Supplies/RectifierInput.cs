namespace NetAudit.Simulation.Supplies;

/// <summary>What the periodic steady state of a rectifier depends on. SI units.</summary>
internal record struct RectifierInput
{
    /// <summary>Average volts at the reservoir.</summary>
    public double Volts;

    /// <summary>Volts RMS that drive one conducting path; not negative.</summary>
    public double Secondary;

    /// <summary>Ohms in series with every conducting path, winding and what lies before the reservoir.</summary>
    public double Ohms;

    /// <summary>Factor on the rectifier's current in the half cycle above zero; nominal 1, near 0 dead.</summary>
    public double First;

    /// <summary>The same in the half cycle below zero; without meaning for a half-wave rectifier.</summary>
    public double Second;

    /// <summary>Farads of the reservoir.</summary>
    public double Farads;

    /// <summary>Ohms in series with the reservoir.</summary>
    public double ReservoirOhms;
}

/// <summary>Derivatives of a rectifier's current by its inputs.</summary>
internal readonly record struct RectifierSlopes<T>(
    T Volts,
    T Secondary,
    T Ohms,
    T First,
    T Second,
    T Farads,
    T ReservoirOhms
);

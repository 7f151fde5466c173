namespace NetAudit.Simulation.Transients;

/// <summary>How exactly, and how far, time is followed.</summary>
/// <param name="LargestStep">Longest step, seconds.</param>
internal readonly record struct IntegratorOptions(double LargestStep)
{
    /// <summary>
    /// Error allowed in one step, as a share of what each voltage or current has swung through so far. Chosen by measurement: at this
    /// value the sample circuits agree with ngspice at its tightest within 0.1 % of the swing.
    /// </summary>
    public double Tolerance { get; init; } = 1e-4;

    /// <summary>Volts added to the swing of a voltage.</summary>
    public double LeastVolts { get; init; } = 1e-2;

    /// <summary>Amperes added to the swing of an inductor's current.</summary>
    public double LeastAmps { get; init; } = 1e-4;

    /// <summary>Steps in all.</summary>
    public int MostSteps { get; init; } = 20_000_000;

    /// <summary>A step of constant length, without regard to error: for tests of the rule's order. 0 for none.</summary>
    public double FixedStep { get; init; }
}

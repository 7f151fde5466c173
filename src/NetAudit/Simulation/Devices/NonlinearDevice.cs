namespace NetAudit.Simulation.Devices;

/// <summary>
/// A semiconductor's equations. Inputs are its ports after series resistances. Immutable, thread-safe.
/// </summary>
internal abstract unsafe class NonlinearDevice
{
    /// <summary>Flows by input positions: current leaves the first and enters the second.</summary>
    public abstract ReadOnlySpan<(int From, int To)> Flows { get; }

    /// <summary>Partial derivatives by flow and input.</summary>
    public abstract ReadOnlySpan<(int Flow, int Input)> Partials { get; }

    /// <summary>Number of junction voltages that are limited.</summary>
    public abstract int JunctionCount { get; }

    /// <summary>Number of charges that the device stores.</summary>
    public virtual int ChargeCount => 0;

    /// <summary>Computes flows and partials; true when a junction voltage was limited.</summary>
    public abstract bool Evaluate(ref DeviceFrame frame);
}

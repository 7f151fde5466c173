namespace NetAudit.Simulation.Devices;

/// <summary>
/// What one evaluation of a device reads and writes. A device's currents are flows between two of its ports; its partial derivatives are
/// listed per flow and input, as <see cref="NonlinearDevice.Partials"/> says.
/// </summary>
internal unsafe struct DeviceFrame
{
    /// <summary>Volts at the device's inputs.</summary>
    public double* Inputs;

    /// <summary>Amperes of each flow, extrapolated from the limited voltages to the inputs.</summary>
    public double* Flows;

    /// <summary>Partial derivatives of the flows, siemens.</summary>
    public double* Partials;

    /// <summary>Junction voltages used at the last accepted iterate.</summary>
    public double* OldJunctions;

    /// <summary>Junction voltages used now.</summary>
    public double* NewJunctions;

    /// <summary>Factor on the saturation current or the transconductance parameter.</summary>
    public double Strength;

    /// <summary>Factor on the forward current gain of a bipolar transistor.</summary>
    public double Gain;

    /// <summary>Volts added to the threshold of a field-effect transistor.</summary>
    public double Offset;

    /// <summary>Siemens across every junction.</summary>
    public double JunctionLeakage;

    /// <summary>Whether junction voltages may be limited against the old ones.</summary>
    public bool Limit;
}

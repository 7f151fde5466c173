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

    /// <summary>Rate of the integration rule, 1/s: a stored charge q adds the current rate q + history. 0 at DC.</summary>
    public double Rate;

    /// <summary>By stored charge: its history, amperes.</summary>
    public double* Histories;

    /// <summary>By stored charge: coulombs.</summary>
    public double* Charges;

    /// <summary>By stored charge: farads.</summary>
    public double* Capacitances;

    /// <summary>
    /// Records a charge and adds its current, all in the device's own sense; <paramref name="beyond"/> are the volts from the limited
    /// junction voltage to the applied one.
    /// </summary>
    public readonly void Store(
        int index,
        (double Coulombs, double Farads) charge,
        double beyond,
        ref double amperes,
        ref double siemens
    )
    {
        Charges[index] = charge.Coulombs + charge.Farads * beyond;
        Capacitances[index] = charge.Farads;
        amperes += Rate * charge.Coulombs + Histories[index];
        siemens += Rate * charge.Farads;
    }
}

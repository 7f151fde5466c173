namespace NetAudit.Simulation;

/// <summary>What about a circuit can be changed without compiling it again.</summary>
public enum ParameterKind
{
    /// <summary>
    /// R: ohms (not 0; positive infinity means open, see <see cref="CompiledCircuit.OpenResistance"/>). V, I: DC value. E, G, F, H: gain.
    /// C, L: exists, and does nothing at DC, but for a supply's reservoir. A V that a supply replaces: volts RMS of its secondary, not
    /// negative whatever its polarity; 0 is off.
    /// </summary>
    Value,

    /// <summary>
    /// Factor, nominal 1: output of a behavioural or controlled current source; saturation currents of D and Q; BETA or KP of J and M;
    /// current of both rectifiers of a supply.
    /// </summary>
    Strength,

    /// <summary>Factor, nominal 1: BF of a Q.</summary>
    Gain,

    /// <summary>
    /// Volts, nominal 0, added to what control inputs see through a pin: the grid offset of a tube. The index is that of the pin.
    /// </summary>
    Offset,

    /// <summary>Volts, nominal 0, added to VTO of a J or M in the sense of the n-channel device, to BV of a D that has one.</summary>
    Threshold,

    /// <summary>Ohms of a supply's winding, of one conducting path, not negative.</summary>
    Winding,

    /// <summary>
    /// Factor, nominal 1, above 0: current of a supply's rectifier in the first half cycle; of the only one when it is half-wave.
    /// </summary>
    FirstRectifier,

    /// <summary>The same in the second half cycle, for full-wave and bridge.</summary>
    SecondRectifier,
}

/// <summary>A parameter of a compiled circuit.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Index">Element index; pin index for the <see cref="ParameterKind.Offset"/> of a device pin.</param>
/// <param name="Nominal">Value in the netlist.</param>
public readonly record struct Parameter(ParameterKind Kind, int Index, double Nominal);

namespace NetAudit.Reference.Netlists;

/// <summary>One change to a circuit, applied to the text that ngspice reads. Indices are those of the circuit's own lists.</summary>
public abstract record CircuitEdit;

/// <summary>Another value for R (ohms, infinity = open), C (farads), L (henries), V (volts), I (amperes), or a linear controlled source (gain).</summary>
public sealed record SetValue(int Element, double Value) : CircuitEdit;

/// <summary>The joint at a pin has a resistance; infinity = open.</summary>
public sealed record SetJoint(int Pin, double Ohms) : CircuitEdit;

/// <summary>A resistance between two nodes.</summary>
public sealed record AddBridge(int NodeA, int NodeB, double Ohms) : CircuitEdit;

/// <summary>A current taken from one node and given to the other.</summary>
public sealed record AddCurrent(int From, int To, double Amps) : CircuitEdit;

/// <summary>Factor on a device's current: the law of a current source, IS of D and Q, BETA of J, KP of M.</summary>
public sealed record SetStrength(int Element, double Factor) : CircuitEdit;

/// <summary>Factor on the forward current gain of a Q.</summary>
public sealed record SetCurrentGain(int Element, double Factor) : CircuitEdit;

/// <summary>Volts added to what control inputs see through a device's pin (index = pin).</summary>
public sealed record SetOffset(int Pin, double Volts) : CircuitEdit;

/// <summary>Factor on the breakdown voltage of a D (a Zener's voltage).</summary>
public sealed record SetBreakdown(int Element, double Factor) : CircuitEdit;

using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits;

/// <summary>An element of a flat circuit. SI units throughout.</summary>
/// <param name="Name">Hierarchical name in the netlist's spelling, <c>XV1A.B1</c>.</param>
/// <param name="Terminals">Its ends, in netlist order; control inputs are apart.</param>
/// <param name="Where">The card it came from.</param>
public abstract record Element(string Name, ImmutableArray<Terminal> Terminals, SourceSpan Where)
{
    /// <summary>Name of the innermost device instance the element is part of, or null when it is a part of its own.</summary>
    public string? Device { get; init; }
}

/// <summary>R: ohms, not zero, may be negative.</summary>
public sealed record Resistor(
    string Name,
    ImmutableArray<Terminal> Terminals,
    double Ohms,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>C: farads.</summary>
public sealed record Capacitor(
    string Name,
    ImmutableArray<Terminal> Terminals,
    double Farads,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>L: henries. A short at DC.</summary>
public sealed record Inductor(
    string Name,
    ImmutableArray<Terminal> Terminals,
    double Henries,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>K: couples two inductors (no terminals of its own).</summary>
/// <param name="Name">Name.</param>
/// <param name="First">Element index of an inductor.</param>
/// <param name="Second">Element index of the other inductor.</param>
/// <param name="Coefficient">Coupling, above 0 up to 1.</param>
/// <param name="Where">The card.</param>
public sealed record Coupling(
    string Name,
    int First,
    int Second,
    double Coefficient,
    SourceSpan Where
) : Element(Name, [], Where);

/// <summary>What an independent source gives: DC value for the operating point, AC magnitude and phase for small signal, a function of time for transients.</summary>
/// <param name="Dc">Volts or amperes. When the card gives only a function of time, its value at time 0.</param>
/// <param name="AcMagnitude">Volts or amperes.</param>
/// <param name="AcPhase">Degrees.</param>
/// <param name="Function"><c>sin</c>, <c>pulse</c>, <c>exp</c>, <c>pwl</c>, <c>sffm</c>, <c>am</c> or null.</param>
/// <param name="Arguments">Arguments of the function, in netlist order.</param>
public sealed record Stimulus(
    double Dc,
    double AcMagnitude = 0,
    double AcPhase = 0,
    string? Function = null,
    ImmutableArray<double> Arguments = default
);

/// <summary>V: positive current flows from the first terminal through the source to the second.</summary>
public sealed record VoltageSource(
    string Name,
    ImmutableArray<Terminal> Terminals,
    Stimulus Stimulus,
    SourceSpan Where
) : Element(Name, Terminals, Where)
{
    /// <summary>The rectifier that takes the source's place, of the polarity of its DC value; null for an ideal source.</summary>
    public RectifierSupply? Supply { get; init; }

    /// <summary>The source at that part of its wall voltage; 0 is off.</summary>
    public VoltageSource AtMains(double part) =>
        Supply is { } supply
            ? this with
            {
                Supply = supply with { Secondary = supply.Secondary * part },
            }
            : this with
            {
                Stimulus = Stimulus with { Dc = Stimulus.Dc * part },
            };
}

/// <summary>I: positive current flows from the first terminal through the source to the second.</summary>
public sealed record CurrentSource(
    string Name,
    ImmutableArray<Terminal> Terminals,
    Stimulus Stimulus,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>What a controlled source puts out.</summary>
public enum OutputKind
{
    /// <summary>A voltage between its terminals.</summary>
    Voltage,

    /// <summary>A current from the first terminal through the source to the second.</summary>
    Current,
}

/// <summary>Linear E (voltage) or G (current) with one pair of control terminals. Gain in V/V or A/V.</summary>
public sealed record VoltageControlledSource(
    string Name,
    OutputKind Kind,
    ImmutableArray<Terminal> Terminals,
    ImmutableArray<Terminal> Controls,
    double Gain,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>Linear F (current) or H (voltage), controlled by the current through a voltage source. Gain in A/A or V/A.</summary>
/// <param name="Name">Name.</param>
/// <param name="Kind">Output.</param>
/// <param name="Terminals">Output terminals.</param>
/// <param name="Control">Element index of the controlling element (a voltage source, an E or H source, or an inductor).</param>
/// <param name="Gain">Gain.</param>
/// <param name="Where">The card.</param>
public sealed record CurrentControlledSource(
    string Name,
    OutputKind Kind,
    ImmutableArray<Terminal> Terminals,
    int Control,
    double Gain,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>
/// B, and every non-linear E, G, F, H (VALUE, TABLE, POLY): a law of control voltages and currents. In <see cref="Law"/> only
/// numbers, operators, built-in functions, <see cref="ControlVoltage"/>, <see cref="ControlCurrent"/>, <see cref="Time"/> and
/// <see cref="NetAudit.Netlists.Expressions.Temperature"/> remain.
/// </summary>
/// <param name="Name">Name.</param>
/// <param name="Kind">Output.</param>
/// <param name="Terminals">Output terminals.</param>
/// <param name="ControlVoltages">Pairs of terminals; <c>v(a)</c> has chassis as its second.</param>
/// <param name="ControlCurrents">Element indices of voltage sources.</param>
/// <param name="Law">The law, in volts or amperes.</param>
/// <param name="Where">The card.</param>
public sealed record BehaviouralSource(
    string Name,
    OutputKind Kind,
    ImmutableArray<Terminal> Terminals,
    ImmutableArray<(Terminal Positive, Terminal Negative)> ControlVoltages,
    ImmutableArray<int> ControlCurrents,
    Expression Law,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>A <c>.model</c> card: kind in lower case (<c>d npn pnp njf pjf nmos pmos r c l</c>), parameters by lower-case name, only those given.</summary>
public sealed record DeviceModel(
    string Name,
    string Kind,
    ImmutableDictionary<string, double> Parameters,
    SourceSpan Where
)
{
    /// <summary>The parameter's value, or <paramref name="otherwise"/> when the card does not give it.</summary>
    public double Get(string parameter, double otherwise) =>
        Parameters.GetValueOrDefault(parameter, otherwise);
}

/// <summary>D: anode, cathode.</summary>
public sealed record Diode(
    string Name,
    ImmutableArray<Terminal> Terminals,
    DeviceModel Model,
    double Area,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>Q: collector, base, emitter, and substrate when given.</summary>
public sealed record BipolarTransistor(
    string Name,
    ImmutableArray<Terminal> Terminals,
    DeviceModel Model,
    double Area,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>J: drain, gate, source.</summary>
public sealed record JunctionFet(
    string Name,
    ImmutableArray<Terminal> Terminals,
    DeviceModel Model,
    double Area,
    SourceSpan Where
) : Element(Name, Terminals, Where);

/// <summary>M level 1: drain, gate, source, bulk. Length and width in metres.</summary>
public sealed record MosFet(
    string Name,
    ImmutableArray<Terminal> Terminals,
    DeviceModel Model,
    double Length,
    double Width,
    SourceSpan Where
) : Element(Name, Terminals, Where)
{
    /// <summary>Number of devices in parallel, M=.</summary>
    public double Multiplicity { get; init; } = 1;
}

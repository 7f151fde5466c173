using System.Collections.Immutable;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits.Sheets;

/// <summary>The wall supply. <c>[mains]</c></summary>
/// <param name="Nominal">Volts RMS at which the netlist's sources hold, or null when the sheet does not say.</param>
/// <param name="Spread">One sigma of the wall voltage as a fraction.</param>
/// <param name="Sources">Names of the sources that follow the wall voltage.</param>
public sealed record MainsData(double? Nominal, double Spread, ImmutableArray<string> Sources)
{
    /// <summary>The fuse before the transformer's primary, which no element of the netlist stands for; or null.</summary>
    public FuseData? Fuse { get; init; }
}

/// <summary>What the sheet says about one part. <c>[part.NAME]</c></summary>
public sealed record PartData
{
    /// <summary>Limits of the value as a fraction, or null for those of its kind.</summary>
    public Tolerance? Tolerance { get; init; }

    /// <summary>Rated power in watts.</summary>
    public double? Power { get; init; }

    /// <summary>Rated voltage in volts.</summary>
    public double? Voltage { get; init; }

    /// <summary>Rated current in amperes.</summary>
    public double? Current { get; init; }

    /// <summary>Type of a diode or transistor, for its data-sheet limits; null for the one its model is named after.</summary>
    public string? Type { get; init; }

    /// <summary>
    /// What it is, in lower case: <c>composition</c>, <c>film</c>, <c>metal-film</c>, <c>wirewound</c>, <c>electrolytic</c>,
    /// <c>potentiometer</c>, <c>transformer</c>, ...
    /// </summary>
    public string? Kind { get; init; }

    /// <summary>Elements that are this one part (a potentiometer's two halves, a transformer's windings); empty when the name is an element.</summary>
    public ImmutableArray<string> Elements { get; init; } = [];

    /// <summary>One sigma of a tube's emission as a fraction, or null for the class default.</summary>
    public double? TubeEmission { get; init; }

    /// <summary>One sigma of a tube's grid offset in volts, or null for the class default.</summary>
    public double? TubeGrid { get; init; }
}

/// <summary>A tube envelope. <c>[[tube]]</c></summary>
/// <param name="Name">Part name, <c>V1</c>.</param>
/// <param name="Type">Type name, or null for the netlist's.</param>
/// <param name="Sections">Device instances and the section of the envelope that each is.</param>
/// <param name="Pins">Pins by base number for a type the base table lacks; empty when the table is to be used.</param>
public sealed record TubeData(
    string Name,
    string? Type,
    ImmutableArray<(string Instance, string Section)> Sections,
    ImmutableArray<TubePinData> Pins
);

/// <summary>A tube pin as a sheet gives it.</summary>
/// <param name="Number">Number on the base.</param>
/// <param name="Instance">Device instance, or null for a heater or unused pin.</param>
/// <param name="Electrode">What it leads to.</param>
public sealed record TubePinData(string Number, string? Instance, Electrode Electrode);

/// <summary>A place a probe can reach. <c>[[point]]</c></summary>
public sealed record PointData(string Name, string Node);

/// <summary>A stage named by the sheet. <c>[[stage]]</c></summary>
/// <param name="Name">Name.</param>
/// <param name="Parts">Parts, or elements and devices of parts.</param>
/// <param name="Input">Node where the signal enters, or null.</param>
/// <param name="Output">Node where it leaves, or null.</param>
/// <param name="IsSupply">True for a supply.</param>
public sealed record StageData(
    string Name,
    ImmutableArray<string> Parts,
    string? Input,
    string? Output,
    bool IsSupply
);

/// <summary>A control that is a netlist parameter. <c>[[control]]</c></summary>
/// <param name="Name">Name on the panel.</param>
/// <param name="Parameter">Top-level <c>.param</c>.</param>
/// <param name="From">Value at position 0.</param>
/// <param name="To">Value at position 1.</param>
public sealed record ControlData(string Name, string Parameter, double From, double To)
{
    /// <summary>The parameter's value at a position from 0 to 1.</summary>
    public double ValueAt(double position) => From + (To - From) * position;
}

/// <summary>A switch. <c>[[switch]]</c> The first position is the one it has when nothing is said.</summary>
public sealed record SwitchData(string Name, ImmutableArray<SwitchPosition> Positions);

/// <summary>What a switch position does.</summary>
/// <param name="Name">Name, for example <c>standby</c>.</param>
/// <param name="Settings">
/// Values by name: of a top-level <c>.param</c>, ohms of a resistor (0 closed, +infinity open), or DC volts of a source.
/// </param>
public sealed record SwitchPosition(
    string Name,
    ImmutableSortedDictionary<string, double> Settings
);

/// <summary>How rectifiers are connected.</summary>
public enum RectifierCircuit
{
    /// <summary>One diode.</summary>
    HalfWave,

    /// <summary>Two diodes and a centre-tapped winding.</summary>
    FullWave,

    /// <summary>Four diodes.</summary>
    Bridge,
}

/// <summary>A supply by its parts. <c>[[supply]]</c></summary>
/// <param name="Name">Name.</param>
/// <param name="Source">The netlist source that stands for it.</param>
/// <param name="Secondary">Secondary volts RMS (of one half when centre-tapped).</param>
/// <param name="WindingResistance">
/// Ohms of the winding (of one half when centre-tapped), the primary's share included, less what the netlist has as resistors between
/// source and reservoir.
/// </param>
/// <param name="Rectifier">Tube type, or null for solid-state diodes.</param>
/// <param name="Circuit">Connection.</param>
/// <param name="Reservoir">Element name of the reservoir capacitor.</param>
/// <param name="Frequency">Mains frequency in hertz.</param>
public sealed record SupplyData(
    string Name,
    string Source,
    double Secondary,
    double WindingResistance,
    string? Rectifier,
    RectifierCircuit Circuit,
    string Reservoir,
    double Frequency
);

/// <summary>A fuse. <c>[[fuse]]</c></summary>
/// <param name="Name">Name.</param>
/// <param name="Element">The resistor that stands for it; empty for the mains fuse.</param>
/// <param name="RatedAmps">Rated current in amperes, or null.</param>
/// <param name="Speed">Letter of its time characteristic, <c>F</c>, <c>T</c>, ..., or null.</param>
public sealed record FuseData(string Name, string Element, double? RatedAmps, string? Speed);

/// <summary>A switched or plugged contact, which may be dirty. <c>[[contact]]</c></summary>
public sealed record ContactData(string Name, string Element);

/// <summary>The test signal. <c>[signal]</c></summary>
/// <param name="Source">Element name of the source.</param>
/// <param name="Frequency">Hertz.</param>
/// <param name="Level">Volts RMS.</param>
public sealed record SignalData(string Source, double Frequency, double Level)
{
    /// <summary>Source resistance in ohms with which the signal is fed into a point; default 600 (common practice, no source).</summary>
    public double SourceResistance { get; init; } = 600;

    /// <summary>
    /// Capacitor in farads through which the signal is fed into a point that stands at DC; default 100 nF (common practice, no source).
    /// </summary>
    public double BlockingCapacitance { get; init; } = 100e-9;
}

/// <summary>A voltage printed in service data. <c>[published]</c></summary>
/// <param name="At">Node or point.</param>
/// <param name="Dc">Volts DC, or null.</param>
/// <param name="Ac">Volts AC RMS, or null.</param>
/// <param name="Limits">Stated limits as a fraction.</param>
public sealed record PublishedVoltage(string At, double? Dc, double? Ac, double Limits);

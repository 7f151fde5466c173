using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;

namespace NetAudit.Circuits;

/// <summary>What a part is, as far as its faults go.</summary>
public enum PartClass
{
    /// <summary>Fixed resistor.</summary>
    Resistor,

    /// <summary>Film, paper, mica or ceramic capacitor.</summary>
    Capacitor,

    /// <summary>Electrolytic capacitor.</summary>
    Electrolytic,

    /// <summary>Choke or transformer; one element a winding.</summary>
    Winding,

    /// <summary>Potentiometer.</summary>
    Potentiometer,

    /// <summary>Tube envelope.</summary>
    Tube,

    /// <summary>Diode of any kind.</summary>
    Diode,

    /// <summary>Bipolar transistor.</summary>
    BipolarTransistor,

    /// <summary>Junction FET.</summary>
    JunctionFet,

    /// <summary>MOSFET.</summary>
    MosFet,

    /// <summary>A source that stands for a supply or bias voltage.</summary>
    Supply,

    /// <summary>Fuse.</summary>
    Fuse,

    /// <summary>Switched or plugged contact.</summary>
    Contact,

    /// <summary>Test gear: never at fault.</summary>
    Fixture,

    /// <summary>Something the fault catalogue knows no modes of.</summary>
    Other,
}

/// <summary>The physical thing that is soldered in or plugged in.</summary>
/// <param name="Name">Unique name: <c>R3</c>, <c>V1</c>, <c>XCH1.R3</c>.</param>
/// <param name="Class">What it is.</param>
/// <param name="Elements">Its elements, indices in <see cref="Circuit.Elements"/>, ascending.</param>
/// <param name="Pins">Its pins in base or terminal order.</param>
/// <param name="TubeType">The tube table's entry, or null.</param>
/// <param name="Sections">A tube's sections; empty for other parts.</param>
/// <param name="Data">What the sheet says about it, or null.</param>
public sealed record Part(
    string Name,
    PartClass Class,
    ImmutableArray<int> Elements,
    ImmutableArray<PartPin> Pins,
    TubeType? TubeType,
    ImmutableArray<TubeSection> Sections,
    PartData? Data
);

/// <summary>A pin of a part.</summary>
/// <param name="Name">Number on the base, or the terminal's name.</param>
/// <param name="Electrode">What it leads to in a tube; <see cref="Electrode.None"/> for other parts.</param>
/// <param name="Section">Section of the tube, or empty.</param>
/// <param name="Pin">Index in <see cref="Circuit.Pins"/>; -1 for a pin the netlist does not hold (a heater).</param>
/// <param name="Node">Node index; -1 for a pin the netlist does not hold.</param>
public sealed record PartPin(string Name, Electrode Electrode, string Section, int Pin, int Node);

/// <summary>One system of electrodes in an envelope. Electrodes are indices in <see cref="Circuit.Pins"/>, -1 where there is none.</summary>
public sealed record TubeSection(
    string Instance,
    string Section,
    int Plate,
    int Grid,
    int Cathode,
    int Screen
);

using System.Collections.Immutable;

namespace NetAudit.Circuits.Tubes;

/// <summary>What a tube pin leads to.</summary>
public enum Electrode
{
    /// <summary>Plate (anode).</summary>
    Plate,

    /// <summary>Control grid.</summary>
    Grid,

    /// <summary>Cathode.</summary>
    Cathode,

    /// <summary>Screen grid.</summary>
    Screen,

    /// <summary>Suppressor grid or beam plates, on a pin of their own.</summary>
    Suppressor,

    /// <summary>Heater end.</summary>
    Heater,

    /// <summary>Centre tap of the heater.</summary>
    HeaterCentreTap,

    /// <summary>Internal shield.</summary>
    Shield,

    /// <summary>Nothing.</summary>
    None,
}

/// <summary>A pin on a tube's base.</summary>
/// <param name="Number">Number on the base.</param>
/// <param name="Electrode">What it leads to.</param>
/// <param name="Section"><c>A</c>, <c>B</c>, or empty.</param>
public sealed record TubePin(string Number, Electrode Electrode, string Section);

/// <summary>How far new tubes of one type differ, one standard deviation.</summary>
/// <param name="Emission">Of the current at fixed voltages, as a fraction.</param>
/// <param name="GridVolts">Of the grid offset, in volts.</param>
public sealed record TubeSpread(double Emission, double GridVolts);

/// <summary>A tube type of the base table.</summary>
public sealed record TubeType(
    string Name,
    ImmutableArray<string> Aliases,
    string Kind,
    ImmutableArray<TubePin> Pins,
    ImmutableArray<string> Sections,
    double HeaterVolts,
    double HeaterAmps,
    TubeSpread Spread,
    ImmutableDictionary<string, double> Ratings
);

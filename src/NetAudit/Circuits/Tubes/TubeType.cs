using System.Collections.Immutable;

namespace NetAudit.Circuits.Tubes;

/// <summary>What a pin of a tube's base is joined to inside the envelope.</summary>
public enum Electrode
{
    /// <summary>Plate (anode).</summary>
    Plate,

    /// <summary>Control grid, g1.</summary>
    Grid,

    /// <summary>Cathode; with what the maker joins to it inside (beam plates, g3, or the heater of a rectifier).</summary>
    Cathode,

    /// <summary>Screen grid, g2.</summary>
    Screen,

    /// <summary>Suppressor grid, g3, where it has a pin of its own.</summary>
    Suppressor,

    /// <summary>An end of the heater.</summary>
    Heater,

    /// <summary>The middle of a split heater.</summary>
    HeaterCentreTap,

    /// <summary>Internal shield.</summary>
    Shield,

    /// <summary>Nothing, or an internal connection that must not be used.</summary>
    None,
}

/// <summary>A pin of a base.</summary>
/// <param name="Number">Base number, counted clockwise seen from below.</param>
/// <param name="Electrode">What it is joined to.</param>
/// <param name="Section">
/// <c>A</c> or <c>B</c> where the envelope holds two plates, else empty. Of a double triode A is on pins 1 to 3; of a full-wave rectifier
/// A is the plate at port <c>P1</c>, B the one at <c>P2</c>, and the common cathode has no section.
/// </param>
public sealed record TubePin(string Number, Electrode Electrode, string Section);

/// <summary>How far healthy specimens of a type differ, one standard deviation each.</summary>
/// <param name="Emission">Relative spread of the current at given voltages, for example 0.10.</param>
/// <param name="GridVolts">Spread of the grid voltage for a given current, volts; 0 for a rectifier.</param>
/// <param name="Source">Where the figures come from.</param>
public sealed record TubeSpread(double Emission, double GridVolts, string Source);

/// <summary>A tube type of the base table.</summary>
/// <param name="Name">Type name, for example <c>12AX7</c>; also the name of its subcircuit in <c>tubes.lib</c>.</param>
/// <param name="Aliases">Other names of the same type.</param>
/// <param name="Kind"><c>triode</c>, <c>pentode</c> (beam tetrodes too) or <c>rectifier</c>.</param>
/// <param name="Pins">All pins in base order.</param>
/// <param name="Sections">
/// Sections that are separate subcircuit instances: <c>A</c>, <c>B</c> of a double triode, else one empty name. A full-wave rectifier is
/// one instance.
/// </param>
/// <param name="HeaterVolts">Rated heater voltage, volts, over the whole heater.</param>
/// <param name="HeaterAmps">Rated heater current, amperes, at that voltage.</param>
/// <param name="Spread">Spread of healthy specimens.</param>
/// <param name="Ratings">
/// Limits by name in SI units: <c>plate_volts_max</c>, <c>plate_watts_max</c>, <c>screen_volts_max</c>, <c>screen_watts_max</c>,
/// <c>cathode_amps_max</c>, <c>grid_ohms_max_fixed_bias</c>, <c>grid_ohms_max_cathode_bias</c>, <c>heater_cathode_volts_max</c> and others
/// of the table <c>tube-ratings.csv</c>. A limit that is not known is absent.
/// </param>
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

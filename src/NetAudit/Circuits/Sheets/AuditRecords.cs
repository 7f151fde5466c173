using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Circuits.Sheets;

/// <summary>A finding of the audit that somebody has looked at and left as it is. <c>[[accept]]</c></summary>
/// <param name="Code">Code of the finding.</param>
/// <param name="At">What it is about: a part, a node, a definition.</param>
/// <param name="Reason">Why it is right so.</param>
/// <param name="Where">The table in the sheet.</param>
public sealed record AcceptData(string Code, string At, string Reason, SourceSpan Where);

/// <summary>A winding that heats tubes. <c>[[heater]]</c></summary>
/// <param name="Name">Name.</param>
/// <param name="Volts">Volts at the heaters' ends.</param>
/// <param name="Amps">Rated current of the winding in amperes, or null.</param>
/// <param name="Tubes">Names of the tubes on it.</param>
/// <param name="Elevation">DC volts of the heaters against chassis.</param>
/// <param name="Where">The table in the sheet.</param>
public sealed record HeaterData(
    string Name,
    double Volts,
    double? Amps,
    ImmutableArray<string> Tubes,
    double Elevation,
    SourceSpan Where
);

/// <summary>Ratings of parts that have none of their own. <c>[rating]</c> Null where the sheet does not say.</summary>
/// <param name="ResistorWatts">Watts of a fixed resistor.</param>
/// <param name="PotentiometerWatts">Watts of a potentiometer's whole track.</param>
/// <param name="CapacitorVolts">Volts of a capacitor that is no electrolytic.</param>
/// <param name="ElectrolyticVolts">Volts of an electrolytic.</param>
public sealed record RatingData(
    double? ResistorWatts,
    double? PotentiometerWatts,
    double? CapacitorVolts,
    double? ElectrolyticVolts
)
{
    /// <summary>No ratings.</summary>
    public static RatingData None { get; } = new(null, null, null, null);
}

/// <summary>A place where a hand may be: a jack, a terminal, a metal knob. <c>[[touch]]</c></summary>
/// <param name="Name">Name.</param>
/// <param name="Node">Node.</param>
public sealed record TouchData(string Name, string Node);

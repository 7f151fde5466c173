using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Stresses;

/// <summary>The tubes that drive a load.</summary>
internal static class OutputTubes
{
    // Plates of smaller limits belong to small-signal tubes (common practice, no source).
    private const double LeastWatts = 5;

    /// <summary>The sections of tubes whose plate dissipation limit is that of an output tube.</summary>
    public static ImmutableArray<(Part Part, TubeSection Section, double Watts)> Of(
        Amplifier amplifier
    ) =>
        [
            .. from part in amplifier.Parts
            where
                part.TubeType is not null
                && part.TubeType.Ratings.GetValueOrDefault("plate_watts_max") >= LeastWatts
            from section in part.Sections
            where section is { Plate: >= 0, Grid: >= 0, Cathode: >= 0 }
            select (part, section, part.TubeType!.Ratings["plate_watts_max"]),
        ];
}

using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Circuits;

/// <summary>A circuit together with what its sheet says and what was found in it. Immutable.</summary>
/// <param name="Circuit">The flat circuit.</param>
/// <param name="Sheet">Its sheet, or the defaults.</param>
/// <param name="Parts">Every part, in netlist order.</param>
/// <param name="Stages">Every stage, along the signal path, supplies last.</param>
/// <param name="Points">Every place a probe can reach.</param>
public sealed record Amplifier(
    Circuit Circuit,
    ServiceSheet Sheet,
    ImmutableArray<Part> Parts,
    ImmutableArray<Stage> Stages,
    ImmutableArray<Point> Points
)
{
    /// <summary>The part of that name (case-insensitive), or null.</summary>
    public Part? FindPart(string name) =>
        Parts.FirstOrDefault(part => part.Name.Equals(name, StringComparison.OrdinalIgnoreCase));

    /// <summary>The point of that name or alias (case-insensitive), or null.</summary>
    public Point? FindPoint(string name) =>
        Points.FirstOrDefault(point =>
            point.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            || point.Aliases.Contains(name, StringComparer.OrdinalIgnoreCase)
        );

    /// <summary>The stage that holds the part of that name, or null.</summary>
    public Stage? StageOf(string part) =>
        Stages.FirstOrDefault(stage =>
            stage.Parts.Contains(part, StringComparer.OrdinalIgnoreCase)
        );
}

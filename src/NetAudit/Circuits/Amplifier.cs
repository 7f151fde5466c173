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
    /// <summary>
    /// The part of that name, or the one that holds the element or tube section of that name (<c>RVOLA</c>, <c>XV1B</c>), or null.
    /// Case-insensitive.
    /// </summary>
    public Part? FindPart(string name) =>
        Parts.FirstOrDefault(part => part.Name.Equals(name, StringComparison.OrdinalIgnoreCase))
        ?? Parts.FirstOrDefault(part =>
            part.Sections.Any(section =>
                section.Instance.Equals(name, StringComparison.OrdinalIgnoreCase)
            )
            || part.Elements.Any(element =>
                Circuit.Elements[element].Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            )
        );

    /// <summary>The point of that name or alias (case-insensitive), or null.</summary>
    public Point? FindPoint(string name) =>
        Points.FirstOrDefault(point =>
            point.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            || point.Aliases.Contains(name, StringComparer.OrdinalIgnoreCase)
        );

    /// <summary>
    /// The stage of a part, a tube section or an element, by name; of an envelope whose sections are in several stages that of its
    /// first. Null when nothing is called so.
    /// </summary>
    public Stage? StageOf(string name)
    {
        var exact = StageWith(name);
        if (exact is not null || FindPart(name) is not { } part)
        {
            return exact;
        }
        return part
            .Sections.Select(section => section.Instance)
            .Prepend(part.Name)
            .Select(StageWith)
            .FirstOrDefault(stage => stage is not null);
    }

    /// <summary>The stage of a node; null for chassis and for nodes inside devices.</summary>
    public Stage? StageOfNode(int node) =>
        Stages.FirstOrDefault(stage => stage.Nodes.Contains(node));

    private Stage? StageWith(string unit) =>
        Stages.FirstOrDefault(stage =>
            stage.Parts.Contains(unit, StringComparer.OrdinalIgnoreCase)
        );
}

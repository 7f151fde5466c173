using System.Collections.Immutable;

namespace NetAudit.Circuits.Stages;

/// <summary>What a stage holds: a part, or one section of an envelope whose sections are devices of their own.</summary>
/// <param name="Name">Part name or section's instance name.</param>
/// <param name="Part">The part.</param>
/// <param name="Elements">Its elements.</param>
internal sealed record StageUnit(string Name, Part Part, ImmutableArray<int> Elements)
{
    /// <summary>The units of all parts, in netlist order.</summary>
    public static ImmutableArray<StageUnit> Of(Circuit circuit, ImmutableArray<Part> parts)
    {
        var units = ImmutableArray.CreateBuilder<StageUnit>();
        foreach (var part in parts)
        {
            foreach (
                var group in part.Elements.GroupBy(element =>
                    IsSplit(part) ? circuit.Elements[element].Device! : part.Name
                )
            )
            {
                units.Add(new StageUnit(group.Key, part, [.. group]));
            }
        }
        return [.. units.OrderBy(unit => unit.Elements[0])];
    }

    /// <summary>The unit that a tube's section is in.</summary>
    public static string NameOf(Part tube, TubeSection section) =>
        IsSplit(tube) ? section.Instance : tube.Name;

    private static bool IsSplit(Part part) =>
        part.Sections.Select(section => section.Instance).Distinct().Count() > 1;
}

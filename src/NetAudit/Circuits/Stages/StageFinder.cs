using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Circuits.Stages;

/// <summary>
/// Finds the stages of a circuit: rails and chassis set aside, each active device with what biases and loads it, the passive networks
/// between them, and the supplies. Then the sheet's own stages take what they name.
/// </summary>
internal static class StageFinder
{
    public static ImmutableArray<Stage> Find(
        Circuit circuit,
        ServiceSheet sheet,
        ImmutableArray<Part> parts
    )
    {
        var graph = new StageGraph(circuit, parts);
        var (supply, regulators) = RailFinder.Find(graph);
        var stages = DeviceGroups
            .Find(graph, supply, regulators)
            .Select(group => new StageDraft(StageKind.Active, group))
            .ToList();
        var owners = NodeOwners.Find(graph, supply, stages);
        StageOrder.Measure(graph, supply, stages);
        var supplies = SupplyStages.Find(graph, supply, regulators);
        stages = [.. stages.OrderBy(stage => stage.Depth), .. supplies.Values.Distinct()];
        if (stages.Count == 0)
        {
            // Nothing but chassis: one stage all the same, so that every part has one.
            stages.Add(new StageDraft(StageKind.Supply, []));
        }
        var units = StageUnit.Of(circuit, parts);
        var unitOwners = new UnitOwners(graph, owners, supplies, stages);
        var own = units.ToDictionary(unit => unit, unitOwners.Find);
        var names = new StageNames(graph, supply, stages);
        return new StageWriter(circuit, stages, own, names.Of).Write(sheet);
    }
}

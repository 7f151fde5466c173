using System.Collections.Immutable;

namespace NetAudit.Circuits.Stages;

/// <summary>
/// Gives every part its stage by the stages of the nodes it joins. Between two stages it belongs to the one that receives the signal:
/// not the one whose output it starts from, and of two others the later one.
/// </summary>
internal sealed class UnitOwners(
    StageGraph graph,
    IReadOnlyDictionary<int, StageDraft> owners,
    IReadOnlyDictionary<int, StageDraft> supplies,
    IReadOnlyList<StageDraft> stages
)
{
    private readonly ILookup<string, StageDraft> byDevice = stages
        .Where(stage => stage.Kind != StageKind.Network)
        .SelectMany(stage => stage.Devices.Select(device => (device.Unit, stage)))
        .ToLookup(pair => pair.Unit, pair => pair.stage);

    public StageDraft Find(StageUnit unit)
    {
        if (byDevice[unit.Name].FirstOrDefault() is { } own)
        {
            return own;
        }
        var found = unit
            .Elements.Select(OfElement)
            .Where(stage => stage is not null)
            .Select(stage => stage!)
            .ToImmutableArray();
        if (found.IsEmpty)
        {
            return stages[0];
        }
        // A potentiometer with one end on a grid or rail is still part of its network.
        return found
            .GroupBy(stage => stage)
            .OrderByDescending(group => group.Key.Kind == StageKind.Network)
            .ThenByDescending(group => group.Count())
            .First()
            .Key;
    }

    private StageDraft? OfElement(int element)
    {
        var nodes = graph
            .Circuit.Elements[element]
            .Terminals.Select(end => end.Node)
            .Distinct()
            .ToArray();
        var signal = nodes.Where(owners.ContainsKey).ToArray();
        if (signal.Length == 0)
        {
            return nodes
                .Select(node => supplies.GetValueOrDefault(node))
                .FirstOrDefault(s => s is not null);
        }
        var first = owners[signal[0]];
        var rest = signal.Skip(1).Select(node => owners[node]).FirstOrDefault(o => o != first);
        if (rest is null)
        {
            return first;
        }
        var last = signal.First(node => owners[node] == rest);
        var firstSends = first.Outputs.Contains(signal[0]);
        var restSends = rest.Outputs.Contains(last);
        if (firstSends != restSends)
        {
            return firstSends ? rest : first;
        }
        // A grid stopper goes with the grid.
        var firstIsGrid = first.Devices.Any(device => device.Grid == signal[0]);
        var restIsGrid = rest.Devices.Any(device => device.Grid == last);
        if (firstIsGrid != restIsGrid && first.Kind != rest.Kind)
        {
            return firstIsGrid ? first : rest;
        }
        return rest.Depth >= first.Depth ? rest : first;
    }
}

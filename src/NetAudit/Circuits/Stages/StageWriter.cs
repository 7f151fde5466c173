using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Circuits.Stages;

/// <summary>
/// Makes the final stages: the sheet's own with the parts they name, and the found ones with what is left. When a sheet's stage took
/// the device of a found stage, or the most parts of it, the rest of that stage follows.
/// </summary>
internal sealed class StageWriter(
    Circuit circuit,
    IReadOnlyList<StageDraft> found,
    IReadOnlyDictionary<StageUnit, StageDraft> own,
    Func<StageDraft, string> nameOf
)
{
    private sealed record Final(string Name, bool IsSupply, StageData? Data)
    {
        public List<StageUnit> Units { get; } = [];

        public SortedSet<int> Nodes { get; } = [];

        public List<StageDraft> From { get; } = [];

        public double Depth =>
            From.Select(stage => stage.Depth).DefaultIfEmpty(double.MaxValue).Min();
    }

    public ImmutableArray<Stage> Write(ServiceSheet sheet)
    {
        var given = sheet
            .Stages.Select(data => (data, Units: data.Parts.SelectMany(UnitsNamed).Distinct()))
            .Select(pair =>
                (Stage: new Final(pair.data.Name, pair.data.IsSupply, pair.data), pair.Units)
            )
            .ToList();
        var taken = new Dictionary<StageUnit, Final>();
        foreach (var (stage, units) in given)
        {
            foreach (var unit in units)
            {
                taken.TryAdd(unit, stage);
            }
        }
        var names = new UniqueNames(given.Select(pair => pair.Stage.Name));
        var unitsOf = own.ToLookup(pair => pair.Value, pair => pair.Key);
        var home = found.ToDictionary(
            draft => draft,
            draft => HomeOf(draft, [.. unitsOf[draft]], taken, names)
        );
        foreach (var (unit, draft) in own)
        {
            var stage = taken.GetValueOrDefault(unit) ?? home[draft];
            stage.Units.Add(unit);
            if (taken.ContainsKey(unit) && draft.Devices.Any(device => device.Unit == unit.Name))
            {
                stage.From.Add(draft);
            }
        }
        foreach (var draft in found)
        {
            foreach (var node in draft.Nodes)
            {
                NodeHome(node, draft, home[draft], taken).Nodes.Add(node);
            }
        }
        return
        [
            .. given
                .Select(pair => pair.Stage)
                .Concat(home.Values)
                .Distinct()
                .Where(stage => stage.Units.Count + stage.Nodes.Count > 0)
                .OrderBy(stage => stage.IsSupply)
                .ThenBy(stage => stage.Depth)
                .Select(Finish),
        ];
    }

    // V1 stands for all its sections, XV1A for one, RVOLA for the potentiometer it is part of.
    private IEnumerable<StageUnit> UnitsNamed(string name) =>
        own.Keys.Where(unit =>
            Same(unit.Name, name)
            || Same(unit.Part.Name, name)
            || unit.Part.Sections.Any(section =>
                Same(section.Instance, name) && Same(unit.Name, unit.Part.Name)
            )
            || unit.Elements.Any(element => Same(circuit.Elements[element].Name, name))
        );

    private Final HomeOf(
        StageDraft draft,
        StageUnit[] units,
        IReadOnlyDictionary<StageUnit, Final> taken,
        UniqueNames names
    )
    {
        var isActive = draft.Kind == StageKind.Active;
        var followed = units
            .Where(taken.ContainsKey)
            .GroupBy(unit => taken[unit])
            .OrderByDescending(group =>
                isActive && group.Any(unit => draft.Devices.Any(device => device.Unit == unit.Name))
            )
            .ThenByDescending(group => group.Count())
            .FirstOrDefault();
        // A network or supply keeps its rest unless most of it went.
        if (followed is not null && (isActive || followed.Count() * 2 > units.Length))
        {
            followed.Key.From.Add(draft);
            return followed.Key;
        }
        var name = names.Of(nameOf(draft));
        var stage = new Final(name, draft.Kind == StageKind.Supply, null);
        stage.From.Add(draft);
        return stage;
    }

    // A node goes where most of what it joins went; its found stage's home when that is even.
    private Final NodeHome(
        int node,
        StageDraft draft,
        Final home,
        IReadOnlyDictionary<StageUnit, Final> taken
    )
    {
        if (taken.Count == 0)
        {
            return home;
        }
        var device = draft.Devices.FirstOrDefault(device => device.Nodes.Contains(node));
        if (device is not null && draft.Kind == StageKind.Active)
        {
            var unit = own.Keys.FirstOrDefault(unit => unit.Name == device.Unit);
            return unit is not null && taken.TryGetValue(unit, out var stage) ? stage : home;
        }
        return own.Where(pair => pair.Value == draft)
                .Select(pair => pair.Key)
                .Where(unit =>
                    unit.Elements.Any(element =>
                        circuit.Elements[element].Terminals.Any(end => end.Node == node)
                    )
                )
                .GroupBy(unit => taken.GetValueOrDefault(unit) ?? home)
                .OrderByDescending(group => group.Count())
                .ThenByDescending(group => group.Key == home)
                .Select(group => group.Key)
                .FirstOrDefault()
            ?? home;
    }

    private Stage Finish(Final stage)
    {
        var input = stage.Data?.Input is { } given ? circuit.FindNode(given) : -1;
        var output = stage.Data?.Output is { } end ? circuit.FindNode(end) : -1;
        var first = stage.From.Where(draft => draft.Input >= 0).MinBy(draft => draft.Depth);
        return new Stage(
            stage.Name,
            stage.IsSupply,
            [.. stage.Units.Select(unit => unit.Name)],
            [.. stage.Nodes],
            input >= 0 ? input : first?.Input ?? -1,
            output >= 0 ? output : OutputOf(stage)
        );
    }

    private static int OutputOf(Final stage)
    {
        var last = stage.From.LastOrDefault(draft => draft.Outputs.Count > 0);
        var device = last?.Devices.FirstOrDefault();
        if (last is null || device is null)
        {
            return -1;
        }
        return last.Outputs.Contains(device.Plate) ? device.Plate : device.Cathode;
    }

    private static bool Same(string a, string b) => a.Equals(b, StringComparison.OrdinalIgnoreCase);
}

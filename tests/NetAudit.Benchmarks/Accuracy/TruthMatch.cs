using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Reference.Units;

namespace NetAudit.Benchmarks.Accuracy;

/// <summary>
/// Whether a suspect is what was put into the unit. By part: the same set of parts (two shorted junctions are one transistor), an envelope's sections counting as the envelope, a
/// transformer's windings as the transformer. Strict: part or section, pin and mode of every fault as well. A suspect's equivalents count, because no reading could tell
/// them apart.
/// </summary>
internal sealed class TruthMatch(Amplifier amplifier)
{
    private readonly Dictionary<string, string> partOf = PartNames(amplifier);

    public bool ByPart(Suspect suspect, Unit unit) =>
        Sets(suspect)
            .Any(set =>
                set.Select(f => PartOf(f.Part)).Distinct().Order().SequenceEqual(Truth(unit))
            );

    public bool Strictly(Suspect suspect, Unit unit) =>
        Sets(suspect)
            .Any(set =>
                set.Length == unit.Faults.Length
                && unit.Faults.All(truth => set.Any(named => IsSame(named, truth)))
            );

    /// <summary>The part that an element, a device or a part belongs to.</summary>
    public string PartOf(string name) => partOf.GetValueOrDefault(name, name);

    public IEnumerable<string> Truth(Unit unit) => unit.Faults.Select(f => PartOf(f.Part)).Order();

    private static IEnumerable<System.Collections.Immutable.ImmutableArray<Fault>> Sets(
        Suspect suspect
    ) => suspect.Equivalents.Prepend(suspect.Faults);

    private bool IsSame(Fault named, UnitFault truth)
    {
        if (named.Mode.Name() != truth.Mode || PartOf(named.Part) != PartOf(truth.Part))
        {
            return false;
        }
        if (truth.Pin is not null && named.Pin != truth.Pin)
        {
            return false;
        }
        return truth.Nodes is not { } nodes
            || named.Nodes is { } found && (found == nodes || (found.Second, found.First) == nodes);
    }

    private static Dictionary<string, string> PartNames(Amplifier amplifier)
    {
        var names = new Dictionary<string, string>(StringComparer.OrdinalIgnoreCase);
        foreach (var part in amplifier.Parts)
        {
            names[part.Name] = part.Name;
            foreach (var element in part.Elements)
            {
                names.TryAdd(amplifier.Circuit.Elements[element].Name, part.Name);
            }
            foreach (var section in part.Sections)
            {
                names[section.Instance] = part.Name;
            }
        }
        return names;
    }
}

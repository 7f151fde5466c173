using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Collects faults while the catalogue is made and merges those that do the same to the circuit.</summary>
internal sealed class CatalogueBuilder(Amplifier amplifier, CompiledCircuit compiled)
{
    private readonly Dictionary<string, Entry> _entries = [];
    private readonly List<Entry> _order = [];

    public Amplifier Amplifier => amplifier;

    public Circuit Circuit => amplifier.Circuit;

    public CompiledCircuit Compiled => compiled;

    /// <summary>Adds a fault. A weight of 0 or less, or an effect on nothing, adds nothing.</summary>
    /// <param name="fault">Its identity.</param>
    /// <param name="weight">Relative rate of the fault.</param>
    /// <param name="range">Values it may take.</param>
    /// <param name="direction">Where its effect points to.</param>
    /// <param name="alterations">What it does.</param>
    public void Add(
        Fault fault,
        double weight,
        ValueRange range,
        Direction direction,
        params ReadOnlySpan<Alteration> alterations
    )
    {
        if (weight <= 0 || alterations.IsEmpty)
        {
            return;
        }
        ImmutableArray<Alteration> effect =
        [
            .. alterations
                .ToArray()
                .Select(Canonical)
                .OrderBy(a => a.Kind)
                .ThenBy(a => a.A)
                .ThenBy(a => a.B),
        ];
        var inside = InsideOf(fault);
        var key = string.Join(';', effect) + $"|{range.Low:R}|{range.High:R}|{inside}";
        if (!_entries.TryGetValue(key, out var entry))
        {
            entry = new(effect, range, direction, inside, []);
            _entries.Add(key, entry);
            _order.Add(entry);
        }
        entry.Identities.Add((fault, weight));
    }

    /// <summary>The classes, with weights scaled to sum to 1.</summary>
    public ImmutableArray<FaultClass> Build()
    {
        var total = _order.Sum(e => e.Identities.Sum(i => i.Weight));
        var scale = total > 0 ? 1 / total : 0;
        return
        [
            .. _order.Select(
                (entry, index) =>
                    new FaultClass(
                        index,
                        entry.Alterations,
                        entry.Range,
                        entry.Direction,
                        [
                            .. entry
                                .Identities.OrderByDescending(i => i.Weight)
                                .Select(i => new FaultIdentity(i.Fault, i.Weight * scale)),
                        ]
                    )
                    {
                        Inside = entry.Inside,
                    }
            ),
        ];
    }

    // What is wrong with a tube goes with the tube; its joints and neighbouring pins are the socket's.
    private string? InsideOf(Fault fault) =>
        fault.Pin is null && amplifier.FindPart(fault.Part) is { Class: PartClass.Tube } tube
            ? tube.Name
            : null;

    // A joined pair is the same pair the other way round.
    private static Alteration Canonical(Alteration alteration) =>
        alteration.Kind == AlterationKind.Bridge && alteration.A > alteration.B
            ? alteration with
            {
                A = alteration.B,
                B = alteration.A,
            }
            : alteration;

    private sealed record Entry(
        ImmutableArray<Alteration> Alterations,
        ValueRange Range,
        Direction Direction,
        string? Inside,
        List<(Fault Fault, double Weight)> Identities
    );
}

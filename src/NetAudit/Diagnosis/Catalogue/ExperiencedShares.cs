using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>How the faults of a catalogue are shared out among classes of parts, by the table and by what a shop confirmed.</summary>
internal sealed class ExperiencedShares(Amplifier amplifier, ImmutableArray<FaultClass> classes)
{
    private readonly Dictionary<string, PartClass> _classOf = amplifier
        .Parts.DistinctBy(part => part.Name)
        .ToDictionary(part => part.Name, part => part.Class);

    /// <summary>Shares of the table, by class of part; together 1.</summary>
    public ImmutableSortedDictionary<PartClass, double> Table =>
        classes
            .SelectMany(fault => fault.Identities)
            .GroupBy(identity => ClassOf(identity.Fault))
            .ToImmutableSortedDictionary(group => group.Key, group => group.Sum(i => i.Share));

    /// <summary>The catalogue with the shares that the shop's experience gives it.</summary>
    public ImmutableArray<FaultClass> With(ShopExperience experience)
    {
        var factors = Table.ToDictionary(
            pair => pair.Key,
            pair => experience.Share(pair.Key, pair.Value) / pair.Value
        );
        // Not "with": the share of a class is worked out when it is made.
        return
        [
            .. classes.Select(fault => new FaultClass(
                fault.Index,
                fault.Alterations,
                fault.Range,
                fault.Direction,
                [
                    .. fault
                        .Identities.Select(identity =>
                            identity with
                            {
                                Share = identity.Share * factors[ClassOf(identity.Fault)],
                            }
                        )
                        .OrderByDescending(identity => identity.Share),
                ]
            )
            {
                Inside = fault.Inside,
            }),
        ];
    }

    private PartClass ClassOf(Fault fault) =>
        _classOf.TryGetValue(fault.Part, out var known)
            ? known
            : amplifier.FindPart(fault.Part)?.Class ?? PartClass.Other;
}

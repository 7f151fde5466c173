using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Search;

namespace NetAudit.Diagnosis;

/// <summary>Gives evaluated fault sets their names: the most probable identity first, the others as equivalents.</summary>
internal static class SuspectNames
{
    /// <summary>Most equivalents listed for one suspect.</summary>
    private const int MostEquivalents = 24;

    /// <summary>A changed value within this factor of a whole decade looks like a wrong part.</summary>
    private const double DecadeWindow = 1.25;

    /// <summary>The most probable identity of a class at a value (NaN when the value is not known).</summary>
    public static Fault Primary(FaultClass fault, double value) => Identities(fault, value)[0];

    /// <summary>Names of a ranked set: the leading faults, then every equivalent.</summary>
    public static (
        ImmutableArray<Fault> Faults,
        ImmutableArray<ImmutableArray<Fault>> Equivalents
    ) Of(RankedSet ranked)
    {
        var all = Combinations(ranked.Leading)
            .Concat(ranked.Equivalents.SelectMany(Combinations))
            .Take(MostEquivalents + 1)
            .ToArray();
        return (all[0], [.. all.Skip(1)]);
    }

    private static IEnumerable<ImmutableArray<Fault>> Combinations(Evaluation evaluation)
    {
        IEnumerable<ImmutableArray<Fault>> combinations =
        [
            [],
        ];
        for (var i = 0; i < evaluation.Set.Members.Length; i++)
        {
            var identities = Identities(evaluation.Set.Members[i], evaluation.Values[i]);
            combinations = combinations.SelectMany(
                _ => identities,
                (earlier, fault) => earlier.Add(fault)
            );
        }
        return combinations.Take(MostEquivalents + 1);
    }

    private static ImmutableArray<Fault> Identities(FaultClass fault, double value) =>
        [
            .. fault
                .Identities.Select(i =>
                    (i.Fault, Weight: i.Share * Fit(i.Fault.Mode, value, fault.Range.Nominal))
                )
                .Where(i => i.Weight > 0)
                .OrderByDescending(i => i.Weight)
                .Select(i =>
                    i.Fault.Unit is null
                        ? i.Fault
                        : i.Fault with
                        {
                            Value = Shown(i.Fault, value, fault.Range.Nominal),
                        }
                ),
        ];

    // The joint's own resistance is what exceeds the part's.
    private static double Shown(Fault fault, double value, double? nominal) =>
        fault.Mode == FaultMode.ResistiveJoint && nominal is { } healthy ? value - healthy : value;

    /// <summary>How well a mode suits a changed part value: a wrong part is off by decades, drift by less, a joint only adds.</summary>
    private static double Fit(FaultMode mode, double value, double? nominal)
    {
        if (nominal is not { } healthy || double.IsNaN(value))
        {
            return 1;
        }
        var ratio = value / healthy;
        var decades = Math.Round(Math.Log10(ratio));
        var isDecade =
            decades != 0 && Math.Abs(Math.Log10(ratio) - decades) < Math.Log10(DecadeWindow);
        return mode switch
        {
            FaultMode.WrongValue => isDecade ? 30 : 1,
            FaultMode.ResistiveJoint => ratio > 1 ? 1 : 0,
            _ => 1,
        };
    }
}

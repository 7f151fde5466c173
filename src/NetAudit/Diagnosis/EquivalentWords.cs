using System.Collections.Immutable;

namespace NetAudit.Diagnosis;

/// <summary>
/// What no reading of the kinds taken so far can tell from a suspect, in words. Sets that differ in one fault only are said fault by fault, and their combinations
/// are left to the reader.
/// </summary>
public static class EquivalentWords
{
    private const int MostNamed = 6;

    /// <summary>A sentence for each fault that others can stand for, and one for whole sets.</summary>
    public static IEnumerable<string> Sentences(Suspect suspect)
    {
        var own = suspect.Faults;
        var others = own.Select((_, position) => Others(own, suspect.Equivalents, position))
            .ToArray();
        for (var position = 0; position < own.Length; position++)
        {
            if (others[position].Length > 0)
            {
                var which = own.Length == 1 ? "it" : $"\"{own[position].Describe()}\"";
                yield return $"No reading of these kinds tells {which} from: {Named([.. others[position].Select(f => f.Describe())])}.";
            }
        }
        var whole = suspect
            .Equivalents.Where(set => !IsCombination(own, others, set))
            .Select(VerdictWords.Faults)
            .ToArray();
        if (whole.Length > 0)
        {
            yield return $"No reading of these kinds tells {(own.Length == 1 ? "it" : "the set")} from: {Named(whole)}.";
        }
    }

    // What stands in the place of one fault while all others stay.
    private static Fault[] Others(
        ImmutableArray<Fault> own,
        ImmutableArray<ImmutableArray<Fault>> sets,
        int position
    ) =>
        [
            .. sets.Where(set => set.Length == own.Length)
                .Where(set =>
                    Enumerable
                        .Range(0, own.Length)
                        .All(i => IsSame(set[i], own[i]) != (i == position))
                )
                .Select(set => set[position])
                .DistinctBy(Identity),
        ];

    private static bool IsCombination(
        ImmutableArray<Fault> own,
        Fault[][] others,
        ImmutableArray<Fault> set
    ) =>
        set.Length == own.Length
        && Enumerable
            .Range(0, own.Length)
            .All(i => IsSame(set[i], own[i]) || others[i].Any(other => IsSame(set[i], other)));

    // The fitted value differs a little between sets and does not make another fault.
    private static Fault Identity(Fault fault) => fault with { Value = null };

    private static bool IsSame(Fault one, Fault other) => Identity(one) == Identity(other);

    private static string Named(string[] names) =>
        string.Join("; ", names.Take(MostNamed))
        + (names.Length > MostNamed ? $"; and {names.Length - MostNamed} more" : "");
}

using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Looks for better sets near one that explains the readings: one fault exchanged for any other, two that may stand in for one exchanged
/// for any other, one added, or one at the same place changed in kind (open for resistive) and one added. Every circuit is solved, so it
/// finds what no foretelling does.
/// </summary>
/// <param name="evaluator">Evaluates sets.</param>
/// <param name="refiner">Refines them.</param>
/// <param name="acting">The faults that act on the readings.</param>
/// <param name="extensions">Adds them to a set.</param>
/// <param name="cancellationToken">Cancels.</param>
internal sealed class Neighbourhood(
    SetEvaluator evaluator,
    RobustRefiner refiner,
    ImmutableArray<FaultClass> acting,
    SolvedExtensions extensions,
    CancellationToken cancellationToken
)
{
    /// <summary>Extensions of one base that are evaluated, by either measure, and neighbours that are refined.</summary>
    private const int Evaluated = 10;
    private const int Refined = 16;

    /// <summary>Sets of more members are not tried with one of them changed in kind and one added.</summary>
    private const int MostChanged = 2;

    /// <summary>Of larger sets any two members are tried without: more faults than this are rarer than two standing in for one.</summary>
    private const int MostUsual = 3;

    private readonly HashSet<string> _extended = [];
    private readonly Dictionary<Evaluation, SolvedExtension[]> _solved = new(
        ReferenceEqualityComparer.Instance
    );

    /// <summary>The neighbours worth refining, refined.</summary>
    public IEnumerable<Evaluation> Explore(Evaluation centre, int maxFaults)
    {
        var scored = new Dictionary<string, (FaultSet Set, double[] Values, double Score)>();
        // What was taken for a slip may be what a further fault does.
        ImmutableArray<int>[] slips = centre.Slips.IsEmpty
            ?
            [
                [],
            ]
            : [centre.Slips, []];
        foreach (var (set, values) in Bases(centre, maxFaults))
        {
            foreach (var assumed in slips)
            {
                Offer(scored, centre, set, values, assumed);
            }
        }
        scored.Remove(centre.Set.Key);
        return
        [
            .. scored
                .Values.Where(s => double.IsFinite(s.Score))
                .OrderByDescending(s => s.Score)
                .ThenBy(s => s.Set.Key, StringComparer.Ordinal)
                .Take(Refined)
                .Select(s => refiner.Refine(s.Set, s.Values)),
        ];
    }

    /// <summary>Scores the most promising extensions of a set, with and without the slips that its readings were weighed with.</summary>
    private void Offer(
        Dictionary<string, (FaultSet Set, double[] Values, double Score)> scored,
        Evaluation centre,
        FaultSet set,
        ImmutableArray<double> values,
        ImmutableArray<int> slips
    )
    {
        // Neighbouring centres have bases in common, whose extensions differ by next to nothing.
        var isNew = _extended.Add($"{set.Key} {string.Join(',', slips)}");
        if (!isNew || Screen(centre, set, values.AsSpan(), slips) is null)
        {
            return;
        }
        var solved = extensions.Solve(set, values, centre.Amounts, 1, cancellationToken);
        if (set == centre.Set && slips.SequenceEqual(centre.Slips))
        {
            _solved[centre] = solved;
        }
        foreach (var (extension, value) in SolvedExtension.Leading(solved, Evaluated))
        {
            var extra = extension.Extra;
            var larger = set.With(extra)!;
            double[] start =
            [
                .. larger.Members.Select(m => m == extra ? value : values[set.Members.IndexOf(m)]),
            ];
            var score = Math.Max(
                Screen(centre, larger, start, []) ?? double.NegativeInfinity,
                Screen(centre, larger, start, slips) ?? double.NegativeInfinity
            );
            if (!scored.TryGetValue(larger.Key, out var known) || known.Score < score)
            {
                scored[larger.Key] = (larger, start, score);
            }
        }
    }

    /// <summary>Every fault that acts on the readings, added to a set; empty when its circuit does not settle again.</summary>
    public IReadOnlyList<SolvedExtension> Extensions(Evaluation centre)
    {
        if (_solved.TryGetValue(centre, out var solved))
        {
            return solved;
        }
        return Screen(centre, centre.Set, centre.Values.AsSpan(), centre.Slips) is null
            ? []
            : extensions.Solve(centre.Set, centre.Values, centre.Amounts, 1, cancellationToken);
    }

    /// <summary>
    /// The same set without each of its members in turn, refined from the values that the others have and, as these have bent to the one
    /// that is gone, from the middle of their ranges.
    /// </summary>
    public IEnumerable<Evaluation> Subsets(Evaluation centre)
    {
        var set = centre.Set;
        return
        [
            .. set.Members.SelectMany(
                (member, i) =>
                {
                    var rest = set.Without(member);
                    return (Evaluation[])
                        [
                            refiner.Refine(rest, centre.Values.RemoveAt(i).AsSpan()),
                            refiner.Refine(rest, rest.Middle),
                        ];
                }
            ),
        ];
    }

    /// <summary>Evaluates a set at the spreads of the centre, from its node volts: near it the circuit may have latched.</summary>
    private double? Screen(
        Evaluation centre,
        FaultSet set,
        ReadOnlySpan<double> values,
        ImmutableArray<int> slips
    ) =>
        evaluator.Screen(
            set,
            values,
            centre.Amounts.AsSpan(),
            slips,
            centre.Volts.AsSpan(),
            cancellationToken
        );

    private IEnumerable<(FaultSet Set, ImmutableArray<double> Values)> Bases(
        Evaluation centre,
        int maxFaults
    )
    {
        var (set, values) = (centre.Set, centre.Values);
        var mayGrow = set.Members.Length < maxFaults;
        var mayChange = mayGrow && set.Members.Length <= MostChanged;
        if (mayGrow)
        {
            yield return (set, values);
        }
        foreach (var smaller in WithoutTwo(centre))
        {
            yield return smaller;
        }
        for (var i = 0; i < set.Members.Length; i++)
        {
            var member = set.Members[i];
            var rest = set.Without(member);
            var others = values.RemoveAt(i);
            if (set.Members.Length > 1)
            {
                yield return (rest, others);
            }
            foreach (var sibling in mayChange ? Siblings(member) : [])
            {
                if (rest.With(sibling) is { } changed)
                {
                    var at = changed.Members.IndexOf(sibling);
                    yield return (changed, others.Insert(at, changed.Middle[at]));
                }
            }
        }
    }

    /// <summary>
    /// Without two faults that may stand in for one: those of one part (a transistor short throughout), and any of an unusually large set.
    /// </summary>
    private static IEnumerable<(FaultSet Set, ImmutableArray<double> Values)> WithoutTwo(
        Evaluation centre
    )
    {
        var members = centre.Set.Members;
        for (var i = 0; i < members.Length; i++)
        {
            for (var j = i + 1; j < members.Length; j++)
            {
                if (members.Length > MostUsual || PartOf(members[i]) == PartOf(members[j]))
                {
                    yield return (
                        centre.Set.Without(members[i]).Without(members[j]),
                        centre.Values.RemoveAt(j).RemoveAt(i)
                    );
                }
            }
        }
    }

    private static string PartOf(FaultClass fault) => fault.Identities[0].Fault.Part;

    private IEnumerable<FaultClass> Siblings(FaultClass member)
    {
        var mine = member.Alterations[0];
        return acting.Where(c =>
            c != member
            && c.Alterations[0] is var other
            && (other.Kind, other.A, other.B) == (mine.Kind, mine.A, mine.B)
        );
    }
}

using System.Collections.Immutable;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Builds sets anew from the healthy unit where what was found explains the readings badly: the faults that come nearest to them alone,
/// each with every other, and the best of these pairs with every third, all solved. Nothing is foretold and no reading can spoil the
/// measure, so that it finds faults of which each alone, and the sum of their effects, looks wrong.
/// </summary>
/// <param name="evaluator">Evaluates sets.</param>
/// <param name="refiner">Refines them.</param>
/// <param name="extensions">Adds every fault that acts on the readings to a set.</param>
/// <param name="start">Node volts of a healthy unit, scene by scene.</param>
/// <param name="cancellationToken">Cancels.</param>
internal sealed class WideSearch(
    SetEvaluator evaluator,
    RobustRefiner refiner,
    SolvedExtensions extensions,
    double[] start,
    CancellationToken cancellationToken
)
{
    /// <summary>More members than this are left to the neighbourhood of what is found.</summary>
    private const int MostMembers = 3;

    /// <summary>Single faults that are grown; pairs, by either measure.</summary>
    private const int GrownSingles = 40;
    private const int GrownPairs = 24;

    /// <summary>Every scene is solved for itself: with many, fewer sets are grown, but some.</summary>
    private const int UnhurriedScenes = 2;
    private const int LeastGrown = 8;

    /// <summary>Extensions of one set that are evaluated and sets of one size that are refined, by either measure.</summary>
    private const int Evaluated = 4;
    private const int Refined = 10;

    /// <summary>Every other value of a grid is near enough to come into the running.</summary>
    private const int Stride = 2;

    private readonly ImmutableArray<double> _nominal = [.. new double[evaluator.Predictor.Width]];

    /// <summary>A set at the values it was evaluated at.</summary>
    /// <param name="Set">The set.</param>
    /// <param name="Values">Its values.</param>
    /// <param name="Score">Log posterior there.</param>
    /// <param name="Coarse">Log of prior and likelihood by errors so coarse that no reading can spoil it.</param>
    private sealed record Guess(
        FaultSet Set,
        ImmutableArray<double> Values,
        double Score,
        double Coarse
    );

    /// <summary>The best sets of two and more members, refined.</summary>
    /// <param name="maxFaults">Most members.</param>
    public IReadOnlyList<Evaluation> Run(int maxFaults)
    {
        var refined = new List<Evaluation>();
        var bases = Singles();
        for (var size = 2; size <= Math.Min(maxFaults, MostMembers); size++)
        {
            var grown = new Dictionary<string, Guess>();
            foreach (var smaller in bases)
            {
                Grow(grown, smaller);
            }
            refined.AddRange(
                Best(grown, Refined).Select(g => refiner.Refine(g.Set, g.Values.AsSpan()))
            );
            bases = Best(grown, Affordable(GrownPairs));
        }
        return refined;
    }

    private int Affordable(int sets)
    {
        var scenes = evaluator.Predictor.Scenes.Length;
        return Math.Max(LeastGrown, sets * UnhurriedScenes / Math.Max(UnhurriedScenes, scenes));
    }

    /// <summary>The single faults that come nearest to the readings.</summary>
    private Guess[] Singles() =>
        [
            .. Extend(FaultSet.Healthy, [])
                .OrderByDescending(e => e.ByItself.Score)
                .Take(Affordable(GrownSingles))
                .Select(e => new Guess(
                    FaultSet.Of(e.Extra),
                    [e.ByItself.Value],
                    double.NaN,
                    e.ByItself.Score
                )),
        ];

    /// <summary>Scores the most promising extensions of a set.</summary>
    private void Grow(Dictionary<string, Guess> grown, Guess smaller)
    {
        var prior = smaller.Set.Members.Sum(m => m.LogWeight);
        var solved = Extend(smaller.Set, smaller.Values);
        foreach (var (extension, value) in SolvedExtension.Leading(solved, Evaluated))
        {
            var extra = extension.Extra;
            var larger = smaller.Set.With(extra)!;
            var values = smaller.Values.Insert(larger.Members.IndexOf(extra), value);
            if (
                Screen(larger, values) is { } score
                && !(grown.TryGetValue(larger.Key, out var known) && known.Score >= score)
            )
            {
                grown[larger.Key] = new(larger, values, score, prior + extension.ByItself.Score);
            }
        }
    }

    /// <summary>Every further fault added to a set; none when its circuit does not settle.</summary>
    private SolvedExtension[] Extend(FaultSet set, ImmutableArray<double> values) =>
        Screen(set, values) is null
            ? []
            : extensions.Solve(set, values, _nominal, Stride, cancellationToken);

    private double? Screen(FaultSet set, ImmutableArray<double> values) =>
        evaluator.Screen(set, values.AsSpan(), [], [], start, cancellationToken);

    /// <summary>The best by either measure, so many of each.</summary>
    private static Guess[] Best(Dictionary<string, Guess> grown, int count) =>
        [
            .. InOrder(grown.Values, g => g.Score)
                .Take(count)
                .Concat(InOrder(grown.Values, g => g.Coarse).Take(count))
                .Distinct(),
        ];

    private static IEnumerable<Guess> InOrder(
        IEnumerable<Guess> guesses,
        Func<Guess, double> score
    ) => guesses.OrderByDescending(score).ThenBy(g => g.Set.Key, StringComparer.Ordinal);
}

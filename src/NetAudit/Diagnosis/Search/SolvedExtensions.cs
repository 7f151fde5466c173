using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>A value of a further fault, and how good it is.</summary>
internal readonly record struct Scored(double Value, double Score);

/// <summary>A further fault for a set, as the solved circuit has it.</summary>
/// <param name="Extra">The fault.</param>
/// <param name="ByBase">Where it comes nearest to the readings by the base's covariance; log of prior and likelihood.</param>
/// <param name="ByItself">The same by a coarse covariance.</param>
/// <param name="Room">
/// The value that the readings leave most room for; mean over its values of how much, from 0 (they exclude it) to 1 (it would not show, or
/// nothing is known). NaN when the base did not settle again.
/// </param>
internal readonly record struct SolvedExtension(
    FaultClass Extra,
    Scored ByBase,
    Scored ByItself,
    Scored Room
)
{
    /// <summary>The most promising by either measure, so many of each; what both choose comes twice, with the value of each.</summary>
    public static IEnumerable<(SolvedExtension Extension, double Value)> Leading(
        SolvedExtension[] solved,
        int count
    ) => Best(solved, e => e.ByBase, count).Concat(Best(solved, e => e.ByItself, count));

    private static IEnumerable<(SolvedExtension Extension, double Value)> Best(
        SolvedExtension[] solved,
        Func<SolvedExtension, Scored> measure,
        int count
    ) =>
        solved
            .OrderByDescending(e => measure(e).Score)
            .Take(count)
            .Select(e => (e, measure(e).Value));
}

/// <summary>
/// Adds every fault of the catalogue to a set and solves each: where faults interact strongly (a short behind an open fuse) no sum of
/// effects and no derivative foretells what they do together. Only the means are read, by rough solves on all processors; they are
/// judged by the base set's covariance, and by a coarse one for states that have little in common with the base.
/// </summary>
internal sealed class SolvedExtensions
{
    private readonly SetEvaluator _evaluator;
    private readonly ImmutableArray<FaultClass> _classes;
    private readonly SolverPool<ExtensionSolver> _solvers;
    private double[] _healthy = [];

    /// <param name="evaluator">Evaluates sets.</param>
    /// <param name="classes">The catalogue.</param>
    /// <param name="predictors">Makes predictors of the same readings.</param>
    public SolvedExtensions(
        SetEvaluator evaluator,
        ImmutableArray<FaultClass> classes,
        Func<Predictor> predictors
    )
    {
        _evaluator = evaluator;
        _classes = classes;
        _solvers = new(() => new(predictors(), evaluator.Evidence, _healthy));
    }

    /// <summary>Takes the evaluator's present state as the healthy unit.</summary>
    public void Calibrate() => _healthy = [.. _evaluator.Predictor.Mean];

    /// <summary>Every fault that may be added to the set that the evaluator has just evaluated, solved.</summary>
    /// <param name="set">That set.</param>
    /// <param name="values">The values it was evaluated at.</param>
    /// <param name="amounts">The spreads it was evaluated at, in standard deviations.</param>
    /// <param name="stride">1 for every value of a fault's grid, 2 for every other.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public SolvedExtension[] Solve(
        FaultSet set,
        ImmutableArray<double> values,
        ImmutableArray<double> amounts,
        int stride,
        CancellationToken cancellationToken
    )
    {
        var from = new ExtensionBase(_evaluator, set, values, amounts);
        (FaultClass Extra, FaultSet Larger)[] larger =
        [
            .. _classes
                .Select(extra => (Extra: extra, Larger: set.With(extra)))
                .Where(pair => pair.Larger is not null)
                .Select(pair => (pair.Extra, pair.Larger!)),
        ];
        var solved = new SolvedExtension[larger.Length];
        _solvers.ForEach(
            larger.Length,
            solver => solver.Begin(from, cancellationToken),
            (i, solver) =>
                solved[i] = solver.Solve(
                    from,
                    larger[i].Larger,
                    larger[i].Extra,
                    stride,
                    cancellationToken
                ),
            cancellationToken
        );
        return solved;
    }
}

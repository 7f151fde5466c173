using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Finds the fault sets that explain the readings best: the single faults that known effects choose, then the sets that are foretold to
/// be improved most by one more fault, evaluated in full and refined. Deterministic.
/// </summary>
internal sealed class FaultSearch
{
    /// <summary>Singles this near to the best, in nats, are refined too.</summary>
    private const double RefinedWithin = 5;

    /// <summary>Refined sets of one size from which the next size grows.</summary>
    private const int Bases = 24;

    /// <summary>Foretold sets kept while screening, before those that are one set or cannot exist are struck out.</summary>
    private const int KeptCandidates = 1000;

    /// <summary>A squared Mahalanobis length of this many times the readings explains nothing.</summary>
    private const double UnexplainedMisfit = 3;

    /// <summary>A best set of so many members is doubted.</summary>
    private const int DoubtfulMembers = 3;

    private readonly SearchEffort _effort;
    private readonly SetEvaluator _evaluator;
    private readonly Forecast _forecast;
    private readonly double[] _start;
    private readonly CancellationToken _cancellationToken;
    private readonly RobustRefiner _refiner;
    private readonly KnownEffects _known;
    private readonly SolvedExtensions _extensions;
    private readonly Neighbourhood _neighbourhood;
    private readonly List<Evaluation> _found = [];
    private readonly List<FaultSet> _unknown = [];

    public FaultSearch(
        SetEvaluator evaluator,
        ExtensionScreen screen,
        KnownEffects known,
        ImmutableArray<FaultClass> classes,
        double[] startVolts,
        Func<Predictor> predictors,
        SearchEffort effort,
        CancellationToken cancellationToken
    )
    {
        _effort = effort;
        _evaluator = evaluator;
        _forecast = new(evaluator, screen, known, classes);
        _start = startVolts;
        _cancellationToken = cancellationToken;
        _refiner = new(evaluator, startVolts, cancellationToken);
        _known = known;
        var acting = known.Acting;
        _extensions = new(evaluator, acting, predictors);
        _neighbourhood = new(evaluator, _refiner, acting, _extensions, cancellationToken);
    }

    /// <summary>Sets whose circuit did not settle: their likelihood is unknown.</summary>
    public IReadOnlyList<FaultSet> Unknown => [.. _unknown.DistinctBy(set => set.Key)];

    /// <summary>
    /// Runs the search up to sets of <paramref name="maxFaults"/> members: pairs always, since a worn tube hides behind an acceptable
    /// misfit; larger sets as long as the last fault added was worth its prior, or the best set still explains nothing.
    /// </summary>
    /// <returns>Every refined set of which something is known, once, at its best; the healthy one among them. Best first.</returns>
    public IReadOnlyList<Evaluation> Run(int maxFaults)
    {
        // Without a reading nothing speaks for a second fault.
        maxFaults = _evaluator.Predictor.Readings == 0 ? 1 : maxFaults;
        NoteUnsettled();
        _found.Add(_refiner.Refine(FaultSet.Healthy, []));
        Screen(FaultSet.Healthy, [], _start, []);
        _extensions.Calibrate();
        _refiner.Calibrate();
        var candidates = ScreenSingles(
            new SingleSelection(_known, _evaluator, _effort, maxFaults > 1),
            maxFaults > 1
        );
        for (var size = 2; size <= maxFaults && candidates.Count > 0; size++)
        {
            var before = Best();
            var refined = EvaluateCandidates(candidates);
            var best = Best();
            var asksForMore =
                best.Set.Members.Length == size && best.LogPosterior > before.LogPosterior;
            candidates =
                size < maxFaults && (asksForMore || Unexplained(best)) ? Extend(refined) : [];
        }
        if (_effort.Polishes)
        {
            Polish(maxFaults);
        }
        var bySet = _found.GroupBy(e => e.Set.Key).ToArray();
        _unknown.AddRange(bySet.Where(g => !g.Any(IsKnown)).Select(g => g.First().Set));
        return
        [
            .. bySet
                .Select(g => g.Where(IsKnown).MaxBy(e => e.LogPosterior))
                .OfType<Evaluation>()
                .OrderByDescending(e => e.LogPosterior),
        ];
    }

    private void Polish(int maxFaults)
    {
        var polishing = new Polishing(_neighbourhood, _refiner, _found);
        polishing.Run(maxFaults);
        if (maxFaults > 1 && IsDoubtful(Best()))
        {
            _found.AddRange(
                new WideSearch(_evaluator, _refiner, _extensions, _start, _cancellationToken).Run(
                    maxFaults
                )
            );
            polishing.Run(maxFaults);
        }
    }

    /// <summary>What acts on the readings, added to a set that was found and solved.</summary>
    public IReadOnlyList<SolvedExtension> Extensions(Evaluation found) =>
        _neighbourhood.Extensions(found);

    private double? Screen(
        FaultSet set,
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> start,
        ImmutableArray<int> slips
    ) => _evaluator.Screen(set, values, [], slips, start, _cancellationToken);

    /// <summary>No slips, and those of the best set so far when it has any.</summary>
    private ImmutableArray<int>[] Assumptions =>
        _refiner.Assumed.IsEmpty
            ?
            [
                [],
            ]
            :
            [
                [],
                _refiner.Assumed,
            ];

    private void NoteUnsettled()
    {
        var settled = _known.Settled;
        var byClass = _known
            .Faults.Select((f, i) => (f.Class, Settled: settled[i]))
            .GroupBy(f => f.Class);
        _unknown.AddRange(
            byClass.Where(g => g.All(f => !f.Settled)).Select(g => FaultSet.Of(g.Key))
        );
    }

    /// <summary>Whether there is evidence for or against a set; the healthy one, that all are compared with, makes do with a promise.</summary>
    private static bool IsKnown(Evaluation evaluation) =>
        evaluation.Converged && (!evaluation.IsPromise || evaluation.Set.Members.IsEmpty);

    private Evaluation Best() => _found.Where(e => e.Converged).MaxBy(e => e.LogPosterior)!;

    /// <summary>Three faults, or one and a slip of the person, are rare: as often something better was not tried.</summary>
    private bool IsDoubtful(Evaluation best) =>
        best.Set.Members.Length >= DoubtfulMembers || !best.Slips.IsEmpty || Unexplained(best);

    private bool Unexplained(Evaluation best) =>
        best.Quadratic > UnexplainedMisfit * _evaluator.Predictor.Readings;

    /// <summary>Evaluates the single faults that deserve it, refines the best, and foretells the pairs.</summary>
    private List<(FaultSet Set, Candidate Origin)> ScreenSingles(
        SingleSelection selection,
        bool foretellPairs
    )
    {
        var foretold = new Foretold(KeptCandidates);
        var singles = new List<ScoredSingle>();
        foreach (var index in selection.Chosen)
        {
            _cancellationToken.ThrowIfCancellationRequested();
            var (fault, value) = _known.Faults[index];
            var set = FaultSet.Of(fault);
            if (Screen(set, [value], _start, []) is not { } score)
            {
                _unknown.Add(set);
            }
            else
            {
                singles.Add(new(set, value, score, score + _refiner.PossibleSlipGain()));
                if (foretellPairs)
                {
                    _forecast.ByDerivatives(foretold, set, [value], score);
                }
            }
        }
        var ranked = Best(singles, s => s.Score);
        var promising = ranked
            .Take(_effort.MostRefinedSingles)
            .Where(
                (s, i) => i < _effort.RefinedSingles || s.Score > ranked[0].Score - RefinedWithin
            )
            .Concat(Best(singles, s => s.Robust).Take(_effort.RefinedBesideSlips))
            .DistinctBy(s => s.Set.Key)
            .ToArray();
        foreach (var single in promising)
        {
            _found.Add(_refiner.Refine(single.Set, [single.Value]));
        }
        _refiner.Assume(Best());
        if (!foretellPairs)
        {
            return [];
        }
        foreach (
            var single in ranked
                .Take(_effort.AdditiveBases)
                .Concat(promising)
                .DistinctBy(s => s.Set.Key)
        )
        {
            ForetellFrom(foretold, single.Set, [single.Value], _start, isDerived: true);
        }
        // Sums over the healthy unit's covariance are on a scale of their own, so they have places of their own.
        var sums = new Foretold(selection.BestPairs.Length);
        foreach (var (first, second, gain) in selection.BestPairs)
        {
            var (fault, value) = _known.Faults[first];
            sums.Offer(FaultSet.Of(fault), [value], _known.Faults[second].Class, gain);
        }
        return
        [
            .. foretold
                .Best(_effort.EvaluatedSets)
                .Concat(sums.Best(_effort.EvaluatedSums))
                .DistinctBy(c => c.Set.Key),
        ];
    }

    /// <summary>The best value of each class, best class first.</summary>
    private static List<ScoredSingle> Best(
        List<ScoredSingle> singles,
        Func<ScoredSingle, double> score
    ) => [.. singles.OrderByDescending(score).DistinctBy(s => s.Set.Key)];

    private readonly record struct ScoredSingle(
        FaultSet Set,
        double Value,
        double Score,
        double Robust
    );

    /// <summary>
    /// Foretells extensions of a set both ways: linearly, unless that was done without slips, and by what single faults are known to do.
    /// </summary>
    private void ForetellFrom(
        Foretold foretold,
        FaultSet set,
        ImmutableArray<double> values,
        ReadOnlySpan<double> start,
        bool isDerived = false
    )
    {
        foreach (var slips in Assumptions)
        {
            if (Screen(set, values.AsSpan(), start, slips) is not { } score)
            {
                return;
            }
            if (!isDerived || !slips.IsEmpty)
            {
                _forecast.ByDerivatives(foretold, set, values, score);
            }
            _forecast.ByKnownEffects(foretold, set, values, score);
        }
    }

    /// <summary>Evaluates the foretold sets at every grid value of the new member and refines the best.</summary>
    private List<Evaluation> EvaluateCandidates(List<(FaultSet Set, Candidate Origin)> candidates)
    {
        var scored = new List<(FaultSet Set, double[] Values, double Score)>();
        foreach (var (set, candidate) in candidates)
        {
            _cancellationToken.ThrowIfCancellationRequested();
            if (set.Members.Length > SetEvaluator.MaxMembers)
            {
                continue;
            }
            var best = (Values: Array.Empty<double>(), Score: double.NegativeInfinity);
            foreach (var value in candidate.Extra.Range.Grid)
            {
                var values = ValuesOf(set, candidate, value);
                foreach (var slips in Assumptions)
                {
                    if (Screen(set, values, _start, slips) is { } score && score > best.Score)
                    {
                        best = (values, score);
                    }
                }
            }
            if (best.Values.Length == 0)
            {
                _unknown.Add(set);
            }
            else
            {
                scored.Add((set, best.Values, best.Score));
            }
        }
        var refined = new List<Evaluation>();
        foreach (
            var (set, values, _) in scored.OrderByDescending(s => s.Score).Take(_effort.RefinedSets)
        )
        {
            refined.Add(_refiner.Refine(set, values));
        }
        _found.AddRange(refined);
        return refined;
    }

    private List<(FaultSet Set, Candidate Origin)> Extend(List<Evaluation> refined)
    {
        var foretold = new Foretold(KeptCandidates);
        foreach (
            var evaluation in refined
                .Where(e => e.Converged)
                .OrderByDescending(e => e.LogPosterior)
                .Take(Bases)
        )
        {
            var start = evaluation.Volts.AsSpan();
            ForetellFrom(foretold, evaluation.Set, evaluation.Values, start);
        }
        return foretold.Best(_effort.EvaluatedSets);
    }

    private static double[] ValuesOf(FaultSet set, Candidate candidate, double extraValue)
    {
        var values = new double[set.Members.Length];
        for (var i = 0; i < values.Length; i++)
        {
            var at = candidate.Base.Members.IndexOf(set.Members[i]);
            values[i] = at < 0 ? extraValue : candidate.Values[at];
        }
        return values;
    }
}

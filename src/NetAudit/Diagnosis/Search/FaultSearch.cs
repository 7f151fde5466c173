using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Finds the fault sets that explain the readings best: every single fault at every grid value, then the sets that the screen foretells
/// to be improved most by one more fault, evaluated in full and refined. Deterministic.
/// </summary>
internal sealed class FaultSearch
{
    /// <summary>Singles that are refined.</summary>
    private const int RefinedSingles = 40;

    /// <summary>Further singles that are refined because they would be among the best if their worst reading were a slip.</summary>
    private const int RefinedBesideSlips = 12;

    /// <summary>Foretold sets that are evaluated, and of these the number that are refined.</summary>
    private const int EvaluatedSets = 160;
    private const int RefinedSets = 40;

    /// <summary>Refined sets of one size from which the next size grows.</summary>
    private const int Bases = 24;

    /// <summary>Foretold sets kept while screening, before those that are one set or cannot exist are struck out.</summary>
    private const int KeptCandidates = 1000;

    /// <summary>Best singles whose pairs are also foretold by adding known effects.</summary>
    private const int AdditiveBases = 60;

    /// <summary>A squared Mahalanobis length of this many times the readings explains nothing.</summary>
    private const double UnexplainedMisfit = 3;

    private readonly SetEvaluator _evaluator;
    private readonly ExtensionScreen _screen;
    private readonly ImmutableArray<FaultClass> _classes;
    private readonly double[] _start;
    private readonly CancellationToken _cancellationToken;
    private readonly double[] _gains;
    private readonly RobustRefiner _refiner;
    private readonly double[] _healthyMean;
    private readonly KnownEffects _effects;
    private readonly List<Evaluation> _found = [];
    private readonly List<FaultSet> _unknown = [];

    public FaultSearch(
        SetEvaluator evaluator,
        ExtensionScreen screen,
        ImmutableArray<FaultClass> classes,
        double[] startVolts,
        CancellationToken cancellationToken
    )
    {
        _evaluator = evaluator;
        _screen = screen;
        _classes = classes;
        _start = startVolts;
        _cancellationToken = cancellationToken;
        _gains = new double[classes.Length];
        _refiner = new(evaluator, startVolts, cancellationToken);
        _healthyMean = new double[evaluator.Predictor.Readings];
        _effects = new(evaluator.Predictor.Readings, classes.Sum(c => c.Range.Grid.Length));
    }

    /// <summary>Sets whose circuit did not settle: their likelihood is unknown.</summary>
    public IReadOnlyList<FaultSet> Unknown => _unknown;

    /// <summary>
    /// Runs the search up to sets of <paramref name="maxFaults"/> members: pairs always, since a worn tube hides behind an acceptable
    /// misfit; larger sets as long as the last fault added was worth its prior, or the best set still explains nothing.
    /// </summary>
    /// <returns>Every refined set, the healthy one among them.</returns>
    public IReadOnlyList<Evaluation> Run(int maxFaults)
    {
        Screen(FaultSet.Healthy, [], _start);
        _refiner.Calibrate();
        _evaluator.Predictor.Mean.CopyTo(_healthyMean, 0);
        _found.Add(_refiner.Refine(FaultSet.Healthy, []));
        var candidates = ScreenSingles();
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
        return _found;
    }

    private double? Screen(FaultSet set, ReadOnlySpan<double> values, ReadOnlySpan<double> start) =>
        _evaluator.Screen(set, values, _refiner.Assumed, start, _cancellationToken);

    private Evaluation Best() => _found.Where(e => e.Converged).MaxBy(e => e.LogPosterior)!;

    private bool Unexplained(Evaluation best) =>
        best.Quadratic > UnexplainedMisfit * _evaluator.Predictor.Readings;

    /// <summary>Evaluates every single fault, refines the best, and foretells the pairs.</summary>
    private List<(FaultSet Set, Candidate Origin)> ScreenSingles()
    {
        var foretold = new Foretold(KeptCandidates);
        var singles = new List<(FaultSet Set, double Value, double Score)>();
        var besideSlips = new List<(FaultSet Set, double Value, double Score)>();
        foreach (var fault in _classes)
        {
            _cancellationToken.ThrowIfCancellationRequested();
            var set = FaultSet.Healthy.With(fault)!;
            var best = (Value: double.NaN, Score: double.NegativeInfinity);
            var robust = best;
            foreach (var value in fault.Range.Grid)
            {
                if (Screen(set, [value], _start) is not { } score)
                {
                    continue;
                }
                if (score > best.Score)
                {
                    best = (value, score);
                }
                if (_refiner.PossibleSlipGain() is var gain and > 0 && score + gain > robust.Score)
                {
                    robust = (value, score + gain);
                }
                _effects.Add(fault.Index, _evaluator.Predictor.Mean, _healthyMean);
                Foretell(foretold, set, [value], score);
            }
            if (double.IsNaN(best.Value))
            {
                _unknown.Add(set);
            }
            else
            {
                singles.Add((set, best.Value, best.Score));
            }
            if (!double.IsNaN(robust.Value))
            {
                besideSlips.Add((set, robust.Value, robust.Score));
            }
        }
        singles.Sort((a, b) => b.Score.CompareTo(a.Score));
        besideSlips.Sort((a, b) => b.Score.CompareTo(a.Score));
        var promising = singles
            .Take(RefinedSingles)
            .Concat(besideSlips.Take(RefinedBesideSlips))
            .DistinctBy(s => s.Set)
            .ToArray();
        foreach (var (set, value, _) in promising)
        {
            _found.Add(_refiner.Refine(set, [value]));
        }
        _refiner.Assume(Best());
        foreach (
            var (set, value, _) in singles
                .Take(AdditiveBases)
                .Concat(promising)
                .DistinctBy(s => s.Set)
        )
        {
            ForetellBySums(foretold, set, [value], _start);
            if (!_refiner.Assumed.IsEmpty && Screen(set, [value], _start) is { } score)
            {
                Foretell(foretold, set, [value], score);
            }
        }
        return foretold.Best(EvaluatedSets);
    }

    /// <summary>Foretells extensions of a set by what single faults are known to do.</summary>
    private void ForetellBySums(
        Foretold foretold,
        FaultSet set,
        ImmutableArray<double> values,
        ReadOnlySpan<double> start
    )
    {
        if (Screen(set, values.AsSpan(), start) is not { } score)
        {
            return;
        }
        Array.Clear(_gains);
        _effects.Score(_evaluator, _gains);
        OfferGains(foretold, set, values, score);
    }

    /// <summary>Scores all one-fault extensions of the set just evaluated.</summary>
    private void Foretell(
        Foretold foretold,
        FaultSet set,
        ImmutableArray<double> values,
        double score
    )
    {
        _screen.Score(_evaluator, _classes.AsSpan(), _gains);
        OfferGains(foretold, set, values, score);
    }

    private void OfferGains(
        Foretold foretold,
        FaultSet set,
        ImmutableArray<double> values,
        double score
    )
    {
        foreach (var extra in _classes)
        {
            var gain = _gains[extra.Index];
            if (gain > 0)
            {
                foretold.Offer(set, values, extra, score + gain + Math.Log(extra.Share));
            }
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
                if (Screen(set, values, _start) is { } score && score > best.Score)
                {
                    best = (values, score);
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
        foreach (var (set, values, _) in scored.OrderByDescending(s => s.Score).Take(RefinedSets))
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
            if (Screen(evaluation.Set, evaluation.Values.AsSpan(), start) is { } score)
            {
                Foretell(foretold, evaluation.Set, evaluation.Values, score);
                ForetellBySums(foretold, evaluation.Set, evaluation.Values, start);
            }
        }
        return foretold.Best(EvaluatedSets);
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

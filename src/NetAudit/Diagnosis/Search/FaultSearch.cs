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

    private const int Relinearisations = 6;

    /// <summary>A reading this many deviations away from what all others say may be a slip.</summary>
    private const double SlipDeviation = 4;

    private const int MaxSlips = 2;

    /// <summary>A slip among fewer readings than this cannot be told from a fault.</summary>
    private const int ReadingsPerSlip = 4;

    private readonly SetEvaluator _evaluator;
    private readonly ExtensionScreen _screen;
    private readonly ImmutableArray<FaultClass> _classes;
    private readonly double[] _start;
    private readonly CancellationToken _cancellationToken;
    private readonly double[] _gains;
    private readonly double[] _deviations;
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
        _deviations = new double[evaluator.Predictor.Readings];
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
        _evaluator.Screen(FaultSet.Healthy, [], _start, _cancellationToken);
        _evaluator.Predictor.Mean.CopyTo(_healthyMean, 0);
        _found.Add(RefineRobust(FaultSet.Healthy, []));
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

    private Evaluation Best() => _found.Where(e => e.Converged).MaxBy(e => e.LogPosterior)!;

    private bool Unexplained(Evaluation best) =>
        best.Quadratic > UnexplainedMisfit * _evaluator.Predictor.Readings;

    /// <summary>Evaluates every single fault, refines the best, and foretells the pairs.</summary>
    private List<(FaultSet Set, Candidate Origin)> ScreenSingles()
    {
        var foretold = new Foretold(KeptCandidates);
        var singles = new List<(FaultSet Set, double Value, double Score)>();
        foreach (var fault in _classes)
        {
            _cancellationToken.ThrowIfCancellationRequested();
            var set = FaultSet.Healthy.With(fault)!;
            var best = (Value: double.NaN, Score: double.NegativeInfinity);
            foreach (var value in fault.Range.Grid)
            {
                if (_evaluator.Screen(set, [value], _start, _cancellationToken) is not { } score)
                {
                    continue;
                }
                if (score > best.Score)
                {
                    best = (value, score);
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
        }
        singles.Sort((a, b) => b.Score.CompareTo(a.Score));
        foreach (var (set, value, _) in singles.Take(AdditiveBases))
        {
            ForetellBySums(foretold, set, [value], _start);
        }
        foreach (var (set, value, _) in singles.Take(RefinedSingles))
        {
            _found.Add(RefineRobust(set, [value]));
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
        if (_evaluator.Screen(set, values.AsSpan(), start, _cancellationToken) is not { } score)
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
                foretold.Offer(set, values, extra, score + gain + Math.Log(extra.Prior));
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
                if (
                    _evaluator.Screen(set, values, _start, _cancellationToken) is { } score
                    && score > best.Score
                )
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
            refined.Add(RefineRobust(set, values));
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
            if (
                _evaluator.Screen(
                    evaluation.Set,
                    evaluation.Values.AsSpan(),
                    start,
                    _cancellationToken
                ) is
                { } score
            )
            {
                Foretell(foretold, evaluation.Set, evaluation.Values, score);
                ForetellBySums(foretold, evaluation.Set, evaluation.Values, start);
            }
        }
        return foretold.Best(EvaluatedSets);
    }

    /// <summary>
    /// Refines a set, and again without the readings that look like slips as long as that pays for their small probability. A gross
    /// slip shows before anything is refined: afterwards values and spreads have bent toward it.
    /// </summary>
    private Evaluation RefineRobust(FaultSet set, ReadOnlySpan<double> values)
    {
        var rough = StrikeSlips(Refine(set, values, [], _start, 0), 0);
        var whole = StrikeSlips(
            Refine(set, values, [], _start, Relinearisations),
            Relinearisations
        );
        if (rough.Slips.IsEmpty)
        {
            return whole;
        }
        var struck = Refine(set, values, rough.Slips, _start, Relinearisations);
        return struck.LogPosterior > whole.LogPosterior || !whole.Converged ? struck : whole;
    }

    /// <summary>Strikes out the reading that disagrees most, as long as that pays. The evaluation must be the evaluator's last.</summary>
    private Evaluation StrikeSlips(Evaluation best, int relinearisations)
    {
        var most = Math.Min(MaxSlips, _deviations.Length / ReadingsPerSlip);
        while (best.Converged && best.Slips.Length < most && WorstReading(best) is { } worst)
        {
            var trial = Refine(
                best.Set,
                best.Values.AsSpan(),
                best.Slips.Add(worst),
                best.Volts.AsSpan(),
                relinearisations
            );
            if (!(trial.LogPosterior > best.LogPosterior))
            {
                break;
            }
            best = trial;
        }
        return best;
    }

    private Evaluation Refine(
        FaultSet set,
        ReadOnlySpan<double> values,
        ImmutableArray<int> slips,
        ReadOnlySpan<double> start,
        int relinearisations
    ) => _evaluator.Refine(set, values, slips, start, relinearisations, _cancellationToken);

    /// <summary>
    /// The reading that disagrees most with all others, or null when none does much, or when striking it out leaves most of the misfit.
    /// </summary>
    private int? WorstReading(Evaluation evaluation)
    {
        _evaluator.Gaussian.GivenOthers(_evaluator.Residual, _deviations);
        var worst = 0;
        for (var i = 1; i < _deviations.Length; i++)
        {
            worst = Math.Abs(_deviations[i]) > Math.Abs(_deviations[worst]) ? i : worst;
        }
        var gain = _deviations[worst] * _deviations[worst];
        return gain > SlipDeviation * SlipDeviation && gain > 0.5 * evaluation.Quadratic
            ? worst
            : null;
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

using System.Collections.Immutable;
using NetAudit.Diagnosis.Evidence;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Refines sets while any reading may be a slip of the person or the meter. Keeps the slips that the best set so far asks for, so that
/// larger sets are weighed without them.
/// </summary>
internal sealed class RobustRefiner
{
    private const int Relinearisations = 10;

    /// <summary>A reading this many deviations away from what all others say may be a slip.</summary>
    private const double SlipDeviation = 4;

    private const int MaxSlips = 2;

    /// <summary>
    /// A set that would still be so many nats below the best so far, its worst reading left out, is not refined again without it: what
    /// derivatives foretell may be wrong, but not by so much.
    /// </summary>
    private const double Hopeless = 50;

    /// <summary>A slip among fewer readings than this cannot be told from a fault.</summary>
    private const int ReadingsPerSlip = 4;

    private readonly SetEvaluator _evaluator;
    private readonly double[] _start;
    private readonly CancellationToken _cancellationToken;
    private readonly double[] _deviations;
    private readonly double[] _healthyPrecision;
    private double _best = double.NegativeInfinity;

    public RobustRefiner(
        SetEvaluator evaluator,
        double[] startVolts,
        CancellationToken cancellationToken
    )
    {
        _evaluator = evaluator;
        _start = startVolts;
        _cancellationToken = cancellationToken;
        var readings = evaluator.Predictor.Readings;
        _deviations = new double[readings];
        _healthyPrecision = new double[readings];
    }

    /// <summary>Readings that the best set so far takes for slips.</summary>
    public ImmutableArray<int> Assumed { get; private set; } = [];

    /// <summary>Takes the evaluator's present state, of the healthy unit, as the scale by which gross slips are noticed.</summary>
    public void Calibrate() => _evaluator.Gaussian.Precisions(_healthyPrecision);

    /// <summary>
    /// How much the set just evaluated would gain, in nats, if its worst reading were a slip: roughly, with the healthy unit's
    /// precisions. It keeps a true fault in the running beside a gross slip.
    /// </summary>
    public double PossibleSlipGain()
    {
        _evaluator.WhitenedResidual.CopyTo(_deviations);
        var quadratic = DenseRows.Dot(_deviations, _deviations);
        _evaluator.Gaussian.SolveTransposed(_deviations);
        var worst =
            _deviations.Length < ReadingsPerSlip
                ? 0
                : GaussianEvidence.LargestSquare(_deviations, _healthyPrecision);
        return worst > SlipDeviation * SlipDeviation ? 0.5 * Math.Min(worst, quadratic) : 0;
    }

    /// <summary>Makes the slips of that evaluation the ones that further sets are weighed without.</summary>
    public void Assume(Evaluation evaluation) => Assumed = evaluation.Slips;

    /// <summary>
    /// Refines a set, and again without the readings that look like slips as long as that pays for their small probability. A gross
    /// slip shows before anything is refined: afterwards values and spreads have bent toward it.
    /// </summary>
    public Evaluation Refine(FaultSet set, ReadOnlySpan<double> values)
    {
        var promise = Refine(set, values, Assumed, _start, 0);
        var rough = StrikeSlips(promise, 0);
        var whole = StrikeSlips(
            promise.Converged && Assumed.IsEmpty && _evaluator.IsAt(promise)
                ? Note(_evaluator.Continue(promise, Relinearisations, _cancellationToken))
                : Refine(set, values, [], _start, Relinearisations),
            Relinearisations
        );
        // Where the refined point settles no more, the rough one still shows where to search.
        var best = whole.Converged ? whole : rough;
        if (rough.Slips.IsEmpty)
        {
            return best;
        }
        var struck = Refine(set, values, rough.Slips, _start, Relinearisations);
        var isBetter = best.IsPromise || struck.LogPosterior > best.LogPosterior;
        return struck.Converged && isBetter ? struck : best;
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
    ) => Note(_evaluator.Refine(set, values, slips, start, relinearisations, _cancellationToken));

    private Evaluation Note(Evaluation evaluation)
    {
        if (!evaluation.IsPromise)
        {
            _best = Math.Max(_best, evaluation.LogPosterior);
        }
        return evaluation;
    }

    /// <summary>
    /// The reading that disagrees most with all others, or null when none does much, or when striking it out leaves most of the misfit or
    /// no hope.
    /// </summary>
    private int? WorstReading(Evaluation evaluation)
    {
        var promised = _evaluator.Promised;
        // If it met all readings.
        var most = evaluation.LogPosterior + 0.5 * evaluation.Quadratic;
        if (most < _best - Hopeless)
        {
            return null;
        }
        _evaluator.Gaussian.GivenOthers(_evaluator.Residual, _deviations);
        var worst = 0;
        for (var i = 1; i < _deviations.Length; i++)
        {
            worst = Math.Abs(_deviations[i]) > Math.Abs(_deviations[worst]) ? i : worst;
        }
        var gain = _deviations[worst] * _deviations[worst];
        return
            gain > SlipDeviation * SlipDeviation
            && gain > 0.5 * promised
            && most + 0.5 * (gain - promised) > _best - Hopeless
            ? worst
            : null;
    }
}

using System.Collections.Immutable;
using System.Runtime.InteropServices;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Weighs a fault set against the readings: applies it, solves, linearises about the most probable spreads and fault values, and takes
/// the Laplace evidence. Not thread-safe; allocates only the result.
/// </summary>
internal sealed class SetEvaluator
{
    /// <summary>Most members of a set that fit the solver's edits.</summary>
    public const int MaxMembers = 5;

    /// <summary>
    /// Derivatives that promise to leave less than the first, squared, a reading, promise to meet the readings; a refinement that leaves more
    /// than the second all the same is lost.
    /// </summary>
    private const double GoodSquare = 3;
    private const double LostSquare = 100;

    /// <summary>How many times the usual steps are taken toward a maximum in sight.</summary>
    private const int Patience = 2;

    private readonly Predictor _predictor;
    private readonly ReadingEvidence _evidence;
    private readonly Ascent _ascent;
    private readonly Linearisation _here;
    private Evaluation? _last;

    public SetEvaluator(Predictor predictor, ReadingEvidence evidence)
    {
        _predictor = predictor;
        _evidence = evidence;
        _ascent = new(predictor, evidence);
        _here = _ascent.Here;
    }

    /// <summary>The readings to be explained.</summary>
    public ReadingEvidence Evidence => _evidence;

    /// <summary>The factored covariance of the last evaluation.</summary>
    public GaussianEvidence Gaussian => _here.Gaussian;

    /// <summary>Residual of the last evaluation at its linearisation, whitened, [readings].</summary>
    public ReadOnlySpan<double> WhitenedResidual => _here.Whitened;

    /// <summary>Whitened derivatives with respect to the logarithms of the free fault values, [readings x FreeValues].</summary>
    public ReadOnlySpan<double> WhitenedFaultColumns => _here.Values.Columns;

    /// <summary>Number of free fault values of the last evaluation.</summary>
    public int FreeValues => _here.Values.Count;

    /// <summary>Residual of the last evaluation, [readings].</summary>
    public ReadOnlySpan<double> Residual => _here.Residual;

    /// <summary>Squared Mahalanobis length that would be left where the derivatives at the end of the last refinement lead.</summary>
    public double Promised { get; private set; }

    /// <summary>The predictor, in the state of the last evaluation.</summary>
    public Predictor Predictor => _predictor;

    /// <summary>Evaluates a set once, at the given values and spreads.</summary>
    /// <param name="set">The set.</param>
    /// <param name="values">Values of its members.</param>
    /// <param name="amounts">Spreads, in standard deviations; empty for nominal.</param>
    /// <param name="slips">Readings to take as slips.</param>
    /// <param name="startVolts">Node volts to start from, scene by scene.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>Log posterior (up to the common constant), or null when the circuit did not settle.</returns>
    public double? Screen(
        FaultSet set,
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> amounts,
        ImmutableArray<int> slips,
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken
    )
    {
        _last = null;
        if (!_ascent.Begin(set, values, amounts, slips, startVolts, cancellationToken))
        {
            return null;
        }
        _ascent.Take();
        var logPosterior = _here.LogPosterior(set, _ascent.LogValues, 0.5 * set.CellWidth, out _);
        return double.IsNaN(logPosterior)
            ? null
            : logPosterior + _evidence.LogSlipOdds(slips, _predictor.Mean);
    }

    /// <summary>Evaluates a set at its most probable values and spreads.</summary>
    /// <param name="set">The set.</param>
    /// <param name="values">Start values of its members.</param>
    /// <param name="slips">Readings to take as slips.</param>
    /// <param name="startVolts">Node volts to start the first solve from.</param>
    /// <param name="relinearisations">Most Gauss-Newton steps.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public Evaluation Refine(
        FaultSet set,
        ReadOnlySpan<double> values,
        ImmutableArray<int> slips,
        ReadOnlySpan<double> startVolts,
        int relinearisations,
        CancellationToken cancellationToken
    )
    {
        _last = _ascent.Begin(set, values, [], slips, startVolts, cancellationToken)
            ? FromHere(set, values, slips, startVolts, relinearisations, cancellationToken)
            : Evaluation.Unknown(set, values);
        return _last;
    }

    /// <summary>Whether the evaluator is still in the state of that evaluation.</summary>
    public bool IsAt(Evaluation evaluation) => ReferenceEquals(evaluation, _last);

    /// <summary>Evaluates the set that it is at, evaluated without relinearising, at its most probable values and spreads.</summary>
    /// <param name="promise">That evaluation; see <see cref="IsAt"/>.</param>
    /// <param name="relinearisations">Most Gauss-Newton steps.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public Evaluation Continue(
        Evaluation promise,
        int relinearisations,
        CancellationToken cancellationToken
    ) =>
        _last = FromHere(
            promise.Set,
            promise.Values.AsSpan(),
            promise.Slips,
            promise.Volts.AsSpan(),
            relinearisations,
            cancellationToken
        );

    private Evaluation FromHere(
        FaultSet set,
        ReadOnlySpan<double> values,
        ImmutableArray<int> slips,
        ReadOnlySpan<double> startVolts,
        int relinearisations,
        CancellationToken cancellationToken
    )
    {
        var direct = _ascent.Climb(relinearisations, cancellationToken)
            ? Here(set, slips, isPromise: relinearisations == 0)
            : Evaluation.Unknown(set, values);
        if (relinearisations > 0 && IsShortOf(direct, GoodSquare))
        {
            // The maximum is in sight, and a bent way takes more steps. What is known is not lost on it.
            var promisedBefore = Promised;
            var further = _ascent.Climb(Patience * relinearisations, cancellationToken)
                ? Here(set, slips, isPromise: false)
                : Evaluation.Unknown(set, values);
            direct = further.Converged
                ? further
                : ReturnTo(direct, promisedBefore, cancellationToken);
        }
        if (relinearisations == 0 || !IsShortOf(direct, LostSquare))
        {
            return direct;
        }
        var promised = Promised;
        var gradual =
            _ascent.Begin(set, values, [], slips, startVolts, cancellationToken)
            && _ascent.Approach(cancellationToken)
            && _ascent.Climb(relinearisations, cancellationToken)
                ? Here(set, slips, isPromise: false)
                : Evaluation.Unknown(set, values);
        return gradual.Converged && gradual.LogPosterior > direct.LogPosterior
            ? gradual
            : ReturnTo(direct, promised, cancellationToken);
    }

    /// <summary>Puts the evaluator back into the state of an earlier evaluation: whoever asks further finds it there.</summary>
    private Evaluation ReturnTo(
        Evaluation earlier,
        double promised,
        CancellationToken cancellationToken
    )
    {
        Promised = promised;
        var restored = Screen(
            earlier.Set,
            earlier.Values.AsSpan(),
            earlier.Amounts.AsSpan(),
            earlier.Slips,
            earlier.Volts.AsSpan(),
            cancellationToken
        );
        return restored is null
            ? Evaluation.Unknown(earlier.Set, earlier.Values.AsSpan())
            : earlier;
    }

    /// <summary>Whether by derivatives the readings could be met, and more than so much, squared, a reading is left.</summary>
    private bool IsShortOf(Evaluation evaluation, double square) =>
        evaluation.Converged
        && evaluation.Quadratic > square * _predictor.Readings
        && Promised < GoodSquare * _predictor.Readings;

    /// <summary>The evaluation of the point that is solved.</summary>
    private Evaluation Here(FaultSet set, ImmutableArray<int> slips, bool isPromise)
    {
        _ascent.Take();
        var logPosterior = _here.LogPosterior(
            set,
            _ascent.LogValues,
            double.PositiveInfinity,
            out var quadratic
        );
        Promised = quadratic;
        if (!isPromise)
        {
            logPosterior = _here.LogPosteriorHere(set, _ascent.Amounts, out quadratic);
        }
        var values = set
            .Members.Select((_, i) => Math.Exp(_ascent.LogValues[i]))
            .ToImmutableArray();
        if (double.IsNaN(logPosterior))
        {
            return Evaluation.Unknown(set, values.AsSpan());
        }
        return new Evaluation
        {
            Set = set,
            Values = values,
            Converged = true,
            IsPromise = isPromise,
            LogPosterior = logPosterior + _evidence.LogSlipOdds(slips, _predictor.Mean),
            Quadratic = quadratic,
            Slips = slips,
            Predicted = [.. _predictor.Mean],
            Amounts = [.. _ascent.Amounts],
            Volts = CopyState(),
        };
    }

    private ImmutableArray<double> CopyState()
    {
        var state = new double[_predictor.StateLength];
        _predictor.CopyState(state);
        return ImmutableCollectionsMarshal.AsImmutableArray(state);
    }
}

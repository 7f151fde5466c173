using System.Collections.Immutable;
using System.Runtime.InteropServices;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Weighs a fault set against the readings: applies it, solves, linearises about the most probable spreads and fault values, and takes
/// the Laplace evidence. Not thread-safe; allocates only the result.
/// </summary>
/// <remarks>
/// Relinearising about the maximum is Gauss-Newton with step halving on |z|^2 + |y - m|^2 / D (an iterated Kalman update).
/// </remarks>
internal sealed class SetEvaluator
{
    /// <summary>Most members of a set that fit the solver's edits.</summary>
    public const int MaxMembers = 5;

    /// <summary>No part is taken to lie further out than this, in standard deviations: beyond it a fault is the better word.</summary>
    private const double MostAmount = 6;

    /// <summary>A step that gains less, in nats, is the last.</summary>
    private const double LeastGain = 0.02;

    /// <summary>Where no step can gain more than this, in nats, none is tried.</summary>
    private const double Nothing = 1e-6;

    private const int MostHalvings = 8;

    /// <summary>
    /// A refinement is lost whose derivatives promise to leave less than the first, squared, a reading, and that leaves more than the
    /// second.
    /// </summary>
    private const double GoodSquare = 3;
    private const double LostSquare = 100;

    /// <summary>By how much errors taken too large shrink from one step to the next.</summary>
    private const double Tightening = 1.5;

    private readonly Predictor _predictor;
    private readonly FaultedCircuit _circuit;
    private readonly ReadingEvidence _evidence;
    private readonly Linearisation _here;
    private readonly double[] _amounts;
    private readonly double[] _step;
    private readonly double[] _trialAmounts;
    private readonly double[] _volts;
    private readonly double[] _logValues = new double[MaxMembers];
    private readonly double[] _trialValues = new double[MaxMembers];

    public SetEvaluator(Predictor predictor, ReadingEvidence evidence)
    {
        _predictor = predictor;
        _circuit = new(predictor);
        _evidence = evidence;
        _here = new(predictor, evidence);
        _amounts = new double[predictor.Width];
        _step = new double[predictor.Width];
        _trialAmounts = new double[predictor.Width];
        _volts = new double[predictor.StateLength];
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
        Begin(set, values, slips);
        amounts.CopyTo(_amounts);
        if (!SolveAt(set, startVolts, cancellationToken))
        {
            return null;
        }
        _here.Take(_circuit, _amounts);
        var logPosterior = _here.LogPosterior(set, _logValues, 0.5 * set.CellWidth, out _);
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
        Begin(set, values, slips);
        var direct =
            SolveAt(set, startVolts, cancellationToken)
            && Climb(set, relinearisations, cancellationToken)
                ? Here(set, slips, isPromise: relinearisations == 0)
                : Evaluation.Unknown(set, values);
        if (relinearisations == 0 || !IsLost(direct))
        {
            return direct;
        }
        var promised = Promised;
        Begin(set, values, slips);
        var gradual =
            SolveAt(set, startVolts, cancellationToken)
            && Approach(set, cancellationToken)
            && Climb(set, relinearisations, cancellationToken)
                ? Here(set, slips, isPromise: false)
                : Evaluation.Unknown(set, values);
        if (gradual.Converged && gradual.LogPosterior > direct.LogPosterior)
        {
            return gradual;
        }
        Promised = promised;
        // Whoever asks further finds the state of what was found first.
        var restored = Screen(
            set,
            direct.Values.AsSpan(),
            direct.Amounts.AsSpan(),
            slips,
            direct.Volts.AsSpan(),
            cancellationToken
        );
        return restored is null ? Evaluation.Unknown(set, values) : direct;
    }

    /// <summary>Whether the last refinement lost its way: by derivatives the readings could be met, and they are not by far.</summary>
    private bool IsLost(Evaluation evaluation) =>
        evaluation.Converged
        && evaluation.Quadratic > LostSquare * _predictor.Readings
        && Promised < GoodSquare * _predictor.Readings;

    /// <summary>
    /// Goes toward the maximum with errors as large as the misfit, smaller from step to step: where a loop of much gain narrows the way to a
    /// bent thread, short steps along it never arrive.
    /// </summary>
    /// <returns>False when the circuit settles no more.</returns>
    private bool Approach(FaultSet set, CancellationToken cancellationToken)
    {
        _here.Take(_circuit, _amounts);
        var loosening = Math.Sqrt(_here.Objective(_amounts) / _predictor.Readings);
        for (; loosening > 1; loosening /= Tightening)
        {
            _here.Loosen(loosening);
            _here.Take(_circuit, _amounts);
            var objective = _here.Objective(_amounts);
            if (TakeStep(set, ref objective, cancellationToken) is null)
            {
                return false;
            }
        }
        _here.Loosen(1);
        return true;
    }

    /// <summary>Gauss-Newton steps to the maximum.</summary>
    /// <returns>False when the circuit settles no more.</returns>
    private bool Climb(FaultSet set, int relinearisations, CancellationToken cancellationToken)
    {
        var objective = double.NaN;
        for (var iteration = 0; iteration < relinearisations; iteration++)
        {
            _here.Take(_circuit, _amounts);
            if (double.IsNaN(objective))
            {
                objective = _here.Objective(_amounts);
            }
            if (TakeStep(set, ref objective, cancellationToken) is not { } gained)
            {
                return false;
            }
            if (gained < LeastGain)
            {
                break;
            }
        }
        return true;
    }

    /// <summary>The evaluation of the point that is solved.</summary>
    private Evaluation Here(FaultSet set, ImmutableArray<int> slips, bool isPromise)
    {
        _here.Take(_circuit, _amounts);
        var logPosterior = _here.LogPosterior(
            set,
            _logValues,
            double.PositiveInfinity,
            out var quadratic
        );
        Promised = quadratic;
        if (!isPromise)
        {
            logPosterior = _here.LogPosteriorHere(set, _amounts, out quadratic);
        }
        ImmutableArray<double> values = [.. set.Members.Select((_, i) => Math.Exp(_logValues[i]))];
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
            Amounts = [.. _amounts],
            Volts = CopyState(),
        };
    }

    private void Begin(FaultSet set, ReadOnlySpan<double> values, ImmutableArray<int> slips)
    {
        _here.Begin(set, slips);
        Array.Clear(_amounts);
        for (var i = 0; i < set.Members.Length; i++)
        {
            _logValues[i] = Math.Log(values[i]);
        }
    }

    private bool SolveAt(
        FaultSet set,
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken
    ) => _circuit.Solve(set, _logValues, _amounts, startVolts, cancellationToken);

    private ImmutableArray<double> CopyState()
    {
        var state = new double[_predictor.StateLength];
        _predictor.CopyState(state);
        return ImmutableCollectionsMarshal.AsImmutableArray(state);
    }

    /// <summary>
    /// Moves values and spreads toward the local maximum, halving while the objective grows; the spreads alone where no step of both helps
    /// (what a value does may bend within the shortest).
    /// </summary>
    /// <returns>What was gained, in nats; null when the circuit settles no more even where it did before.</returns>
    private double? TakeStep(
        FaultSet set,
        ref double objective,
        CancellationToken cancellationToken
    )
    {
        if (_here.PossibleGain(_logValues, objective) < Nothing)
        {
            return 0;
        }
        _predictor.CopyState(_volts);
        var gained = Descend(set, ref objective, keepsValues: false, cancellationToken);
        if (gained == 0 && _here.Values.Count > 0)
        {
            gained = Descend(set, ref objective, keepsValues: true, cancellationToken);
        }
        // No shorter step helps: back to the point that was linearised.
        return gained > 0 || SolveAt(set, _volts, cancellationToken) ? gained : null;
    }

    private double Descend(
        FaultSet set,
        ref double objective,
        bool keepsValues,
        CancellationToken cancellationToken
    )
    {
        _here.FindMaximum(_logValues, _step, keepsValues);
        while (_here.Hold(_circuit, _step, MostAmount))
        {
            _here.FindMaximum(_logValues, _step, keepsValues);
        }
        DenseRows.AddScaled(_amounts, -1, _step);
        var length = 1.0;
        for (var halving = 0; halving < MostHalvings; halving++, length /= 2)
        {
            for (var i = 0; i < _amounts.Length; i++)
            {
                _trialAmounts[i] = _amounts[i] + length * _step[i];
            }
            _logValues.CopyTo(_trialValues, 0);
            for (var a = 0; a < _here.Values.Count; a++)
            {
                _trialValues[_here.Values.MemberOf(a)] += length * _here.Values.Step[a];
            }
            if (!_circuit.Solve(set, _trialValues, _trialAmounts, _volts, cancellationToken))
            {
                continue;
            }
            _predictor.ReadMean();
            var trial = _here.Objective(_trialAmounts);
            if (trial < objective)
            {
                var gained = objective - trial;
                objective = trial;
                _trialAmounts.CopyTo(_amounts, 0);
                _trialValues.CopyTo(_logValues, 0);
                return gained;
            }
        }
        return 0;
    }
}

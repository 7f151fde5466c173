using System.Collections.Immutable;
using System.Numerics.Tensors;
using System.Runtime.InteropServices;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Weighs a fault set against the readings: applies it, solves, linearises about the most probable spreads and fault values, and takes
/// the Laplace evidence. Not thread-safe; allocates only the result.
/// </summary>
/// <remarks>
/// With r = y - m(z, v) + J z and S = J J' + D at the linearisation point, the readings' log density with the spreads z integrated out
/// is that of r under N(0, S). The logarithms of the free fault values have a flat prior of width W; integrated by Laplace they give
/// sqrt(2 pi / h) / W each, never above 1. Relinearising about the maximum is Gauss-Newton with step halving on
/// |z|^2 + |y - m|^2 / D (an iterated Kalman update).
/// </remarks>
internal sealed class SetEvaluator
{
    /// <summary>Most members of a set that fit the solver's edits.</summary>
    public const int MaxMembers = 5;

    /// <summary>Longest step in the logarithm of a fault value: a factor of e.</summary>
    private const double MaxLogStep = 1.0;

    /// <summary>No part is taken to lie further out than this, in standard deviations: beyond it a fault is the better word.</summary>
    private const double MostAmount = 6;

    /// <summary>A step that gains less, in nats, is the last.</summary>
    private const double LeastGain = 0.02;

    private readonly Predictor _predictor;
    private readonly FaultedCircuit _circuit;
    private readonly ReadingEvidence _evidence;
    private readonly GaussianEvidence _gaussian;
    private readonly double[] _own;
    private readonly double[] _measured;
    private readonly HiddenSigns _signs;
    private readonly double[] _residual;
    private readonly double[] _whitened;
    private readonly double[] _amounts;
    private readonly double[] _trialAmounts;
    private readonly double[] _solved;
    private readonly double[] _volts;
    private readonly double[] _logValues = new double[MaxMembers];
    private readonly double[] _trialValues = new double[MaxMembers];
    private readonly FreeValues _values;

    public SetEvaluator(Predictor predictor, ReadingEvidence evidence)
    {
        _predictor = predictor;
        _circuit = new(predictor);
        _evidence = evidence;
        var readings = predictor.Readings;
        _gaussian = new(readings);
        _own = new double[readings];
        _measured = new double[readings];
        _signs = new(readings);
        _residual = new double[readings];
        _whitened = new double[readings];
        _values = new(readings);
        _amounts = new double[predictor.Width];
        _trialAmounts = new double[predictor.Width];
        _solved = new double[readings];
        _volts = new double[predictor.StateLength];
    }

    /// <summary>The readings to be explained.</summary>
    public ReadingEvidence Evidence => _evidence;

    /// <summary>The factored covariance of the last evaluation.</summary>
    public GaussianEvidence Gaussian => _gaussian;

    /// <summary>Residual of the last evaluation at its linearisation, whitened, [readings].</summary>
    public ReadOnlySpan<double> WhitenedResidual => _whitened;

    /// <summary>Whitened derivatives with respect to the logarithms of the free fault values, [readings x FreeValues].</summary>
    public ReadOnlySpan<double> WhitenedFaultColumns => _values.Columns;

    /// <summary>Number of free fault values of the last evaluation.</summary>
    public int FreeValues => _values.Count;

    /// <summary>Residual of the last evaluation, [readings].</summary>
    public ReadOnlySpan<double> Residual => _residual;

    /// <summary>The predictor, in the state of the last evaluation.</summary>
    public Predictor Predictor => _predictor;

    /// <summary>Evaluates a set once, at the given values and nominal spreads.</summary>
    /// <param name="set">The set.</param>
    /// <param name="values">Values of its members.</param>
    /// <param name="slips">Readings to take as slips.</param>
    /// <param name="startVolts">Node volts to start from, scene by scene.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>Log posterior (up to the common constant), or null when the circuit did not settle.</returns>
    public double? Screen(
        FaultSet set,
        ReadOnlySpan<double> values,
        ImmutableArray<int> slips,
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken
    )
    {
        Begin(set, values, slips);
        if (!SolveAt(set, startVolts, cancellationToken))
        {
            return null;
        }
        Linearise();
        var logPosterior = LogPosterior(set, 0.5 * CellWidth(set), out _);
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
        if (!SolveAt(set, startVolts, cancellationToken))
        {
            return new Evaluation
            {
                Set = set,
                Values = [.. values],
                Converged = false,
            };
        }
        var objective = double.NaN;
        for (var iteration = 0; iteration < relinearisations; iteration++)
        {
            Linearise();
            if (double.IsNaN(objective))
            {
                objective = Objective(_amounts);
            }
            _values.FindStep(_whitened, _logValues, MaxLogStep);
            if (TakeStep(set, ref objective, cancellationToken) is not { } gained)
            {
                return new Evaluation
                {
                    Set = set,
                    Values = [.. values],
                    Converged = false,
                };
            }
            if (gained < LeastGain)
            {
                break;
            }
        }
        Linearise();
        var logPosterior = LogPosterior(set, double.PositiveInfinity, out var quadratic);
        return new Evaluation
        {
            Set = set,
            Values = [.. set.Members.Select((_, i) => Math.Exp(_logValues[i]))],
            Converged = !double.IsNaN(logPosterior),
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
        _evidence.Own.CopyTo(_own);
        _evidence.Measured.CopyTo(_measured);
        foreach (var slip in slips)
        {
            _own[slip] = _evidence.SlipSigma[slip];
        }
        Array.Clear(_amounts);
        _values.Begin(set);
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

    /// <summary>Residual, covariance and whitened columns at the point just solved.</summary>
    private void Linearise()
    {
        _predictor.Read(_circuit.Edits);
        var width = _predictor.Width;
        for (var i = 0; i < _residual.Length; i++)
        {
            var predictedShift = TensorPrimitives.Dot<double>(
                _predictor.Jacobian.AsSpan(i * width, width),
                _amounts
            );
            _residual[i] = _measured[i] - _predictor.Mean[i] + predictedShift;
        }
        FillFaultColumns();
        _gaussian.Decompose(_predictor.Jacobian, width, _own);
        _residual.CopyTo(_whitened, 0);
        _gaussian.Whiten(_whitened);
        ChooseSigns();
        if (_values.Count > 0)
        {
            _gaussian.Whiten(_values.Columns, _values.Count);
        }
    }

    /// <summary>Gives levels near a null the signs that suit the other readings best.</summary>
    private void ChooseSigns()
    {
        _signs.Clear();
        for (var i = 0; i < _residual.Length; i++)
        {
            if (_predictor.IsSigned(i) && _measured[i] != 0)
            {
                _signs.Add(i);
            }
        }
        if (_signs.Count == 0)
        {
            return;
        }
        _signs.Choose(_gaussian, _whitened, _measured);
        foreach (var i in _signs.Flipped)
        {
            _residual[i] -= 2 * _measured[i];
            _measured[i] = -_measured[i];
        }
    }

    private void FillFaultColumns()
    {
        var columns = _values.Columns;
        columns.Clear();
        for (var scene = 0; scene < _predictor.Scenes.Length; scene++)
        {
            var first = _predictor.Scenes[scene].First;
            var end = first + _predictor.Scenes[scene].Rows.Length;
            foreach (var (member, column, size) in _circuit.EffectsIn(scene))
            {
                var free = _values.Of(member);
                for (var i = first; free >= 0 && i < end; i++)
                {
                    columns[i * _values.Count + free] +=
                        _predictor.Raw[i * _predictor.RawWidth + column] * size;
                }
            }
        }
    }

    private ImmutableArray<double> CopyState()
    {
        var state = new double[_predictor.StateLength];
        _predictor.CopyState(state);
        return ImmutableCollectionsMarshal.AsImmutableArray(state);
    }

    private double LogPosterior(FaultSet set, double longestStep, out double quadratic)
    {
        var readings = _residual.Length;
        quadratic = TensorPrimitives.Dot<double>(_whitened, _whitened);
        var occam = 0.0;
        if (_values.Count > 0)
        {
            // The maximum of the local quadratic, as far as the step may go.
            _values.FindStep(_whitened, _logValues, MaxLogStep);
            quadratic -= _values.Reduction(_whitened, longestStep);
            occam = _values.Occam();
        }
        return set.LogPrior
            + (set.Members.IsEmpty ? _evidence.HealthyLogOdds : 0)
            + occam
            - 0.5 * (quadratic + _gaussian.LogDeterminant + readings * Math.Log(2 * Math.PI));
    }

    /// <summary>Moves values and spreads toward the local maximum, halving while the objective grows.</summary>
    /// <returns>What was gained, in nats; null when the circuit settles no more even where it did before.</returns>
    private double? TakeStep(
        FaultSet set,
        ref double objective,
        CancellationToken cancellationToken
    )
    {
        _predictor.CopyState(_volts);
        // inv(S) (r - F step), then the spreads that go with it: z = J' times that.
        for (var i = 0; i < _solved.Length; i++)
        {
            var value = _whitened[i];
            for (var a = 0; a < _values.Count; a++)
            {
                value -= _values.Columns[i * _values.Count + a] * _values.Step[a];
            }
            _solved[i] = value;
        }
        _gaussian.SolveTransposed(_solved);
        var width = _predictor.Width;
        Array.Clear(_trialAmounts);
        for (var i = 0; i < _solved.Length; i++)
        {
            TensorPrimitives.MultiplyAdd<double>(
                _predictor.Jacobian.AsSpan(i * width, width),
                _solved[i],
                _trialAmounts,
                _trialAmounts
            );
        }
        TensorPrimitives.Subtract<double>(_trialAmounts, _amounts, _trialAmounts);
        var length = 1.0;
        Span<double> target = stackalloc double[width];
        for (var halving = 0; halving < 5; halving++, length /= 2)
        {
            TensorPrimitives.MultiplyAdd(_trialAmounts, length, _amounts, target);
            TensorPrimitives.Min(target, MostAmount, target);
            TensorPrimitives.Max(target, -MostAmount, target);
            _logValues.CopyTo(_trialValues, 0);
            for (var a = 0; a < _values.Count; a++)
            {
                _trialValues[_values.MemberOf(a)] += length * _values.Step[a];
            }
            if (!_circuit.Solve(set, _trialValues, target, _volts, cancellationToken))
            {
                continue;
            }
            _predictor.ReadMean();
            var trial = Objective(target);
            if (trial < objective)
            {
                var gained = objective - trial;
                objective = trial;
                target.CopyTo(_amounts);
                _trialValues.CopyTo(_logValues, 0);
                return gained;
            }
        }
        // No shorter step helps: back to the point that was linearised.
        return SolveAt(set, _volts, cancellationToken) ? 0 : null;
    }

    /// <summary>Half of |z|^2 + |(y - m) / own|^2, the meter's gain errors being the last amounts.</summary>
    private double Objective(ReadOnlySpan<double> amounts)
    {
        var sum = TensorPrimitives.Dot(amounts, amounts);
        for (var i = 0; i < _own.Length; i++)
        {
            var predicted = _predictor.Mean[i] + _predictor.GainShift(i, amounts);
            var error = (_measured[i] - predicted) / _own[i];
            sum += error * error;
        }
        return 0.5 * sum;
    }

    /// <summary>Distance between grid points of the set's free value, in nats: how far a grid point speaks for its surroundings.</summary>
    private static double CellWidth(FaultSet set) =>
        set
            .Members.Where(m => m.Range.IsContinuous)
            .Select(m => m.Range.LogWidth / m.Range.Grid.Length)
            .DefaultIfEmpty(0)
            .Max();
}

using System.Collections.Immutable;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// The point at which a fault set is weighed, and the way from it to the most probable spreads and fault values. Buffers are reused. Not
/// thread-safe.
/// </summary>
/// <remarks>
/// Relinearising about the maximum is Gauss-Newton with shortened steps on |z|^2 + |y - m|^2 / D (an iterated Kalman update).
/// </remarks>
internal sealed class Ascent
{
    /// <summary>No part is taken to lie further out than this, in standard deviations: beyond it a fault is the better word.</summary>
    private const double MostAmount = 6;

    /// <summary>A step that gains less, in nats, is the last.</summary>
    private const double LeastGain = 0.02;

    /// <summary>Where no step can gain more than this, in nats, none is tried.</summary>
    private const double Nothing = 1e-3;

    /// <summary>The shortest part of a step that is tried, and the least and most that is kept of one that was too long.</summary>
    private const double ShortestStep = 1.0 / 256;
    private const double LeastKept = 0.25;
    private const double MostKept = 0.5;

    /// <summary>By how much errors taken too large shrink from one step to the next.</summary>
    private const double Tightening = 1.5;

    private readonly Predictor _predictor;
    private readonly FaultedCircuit _circuit;
    private readonly double[] _amounts;
    private readonly double[] _step;
    private readonly double[] _trialAmounts;
    private readonly double[] _volts;
    private readonly double[] _logValues = new double[SetEvaluator.MaxMembers];
    private readonly double[] _trialValues = new double[SetEvaluator.MaxMembers];
    private FaultSet _set = FaultSet.Healthy;
    private bool _isTaken;

    public Ascent(Predictor predictor, ReadingEvidence evidence)
    {
        _predictor = predictor;
        _circuit = new(predictor);
        Here = new(predictor, evidence);
        _amounts = new double[predictor.Width];
        _step = new double[predictor.Width];
        _trialAmounts = new double[predictor.Width];
        _volts = new double[predictor.StateLength];
    }

    /// <summary>The readings about the point.</summary>
    public Linearisation Here { get; }

    /// <summary>The spreads there, in standard deviations.</summary>
    public ReadOnlySpan<double> Amounts => _amounts;

    /// <summary>Logarithms of the members' values there.</summary>
    public ReadOnlySpan<double> LogValues => _logValues;

    /// <summary>Goes to a point and solves.</summary>
    /// <param name="set">The set.</param>
    /// <param name="values">Values of its members.</param>
    /// <param name="amounts">Spreads, in standard deviations; empty for nominal.</param>
    /// <param name="slips">Readings to take as slips.</param>
    /// <param name="startVolts">Node volts to start from, scene by scene.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>True when the circuit settled.</returns>
    public bool Begin(
        FaultSet set,
        ReadOnlySpan<double> values,
        ReadOnlySpan<double> amounts,
        ImmutableArray<int> slips,
        ReadOnlySpan<double> startVolts,
        CancellationToken cancellationToken
    )
    {
        _set = set;
        Here.Begin(set, slips);
        Array.Clear(_amounts);
        amounts.CopyTo(_amounts);
        for (var i = 0; i < set.Members.Length; i++)
        {
            _logValues[i] = Math.Log(values[i]);
        }
        return Solve(startVolts, cancellationToken);
    }

    /// <summary>Reads the point, unless that was done.</summary>
    public void Take()
    {
        if (!_isTaken)
        {
            Here.Take(_circuit, _amounts);
            _isTaken = true;
        }
    }

    /// <summary>Gauss-Newton steps to the maximum.</summary>
    /// <param name="steps">How many at most.</param>
    /// <param name="cancellationToken">Cancels.</param>
    /// <returns>False when the circuit settles no more.</returns>
    public bool Climb(int steps, CancellationToken cancellationToken)
    {
        var objective = double.NaN;
        for (var step = 0; step < steps; step++)
        {
            Take();
            if (double.IsNaN(objective))
            {
                objective = Here.Objective(_amounts);
            }
            if (TakeStep(ref objective, cancellationToken) is not { } gained)
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

    /// <summary>
    /// Goes toward the maximum with errors as large as the misfit, smaller from step to step: where a loop of much gain narrows the way to a
    /// bent thread, short steps along it never arrive.
    /// </summary>
    /// <returns>False when the circuit settles no more.</returns>
    public bool Approach(CancellationToken cancellationToken)
    {
        Take();
        var loosening = Math.Sqrt(Here.Objective(_amounts) / _predictor.Readings);
        for (; loosening > 1; loosening /= Tightening)
        {
            Loosen(loosening);
            Take();
            var objective = Here.Objective(_amounts);
            if (TakeStep(ref objective, cancellationToken) is null)
            {
                return false;
            }
        }
        Loosen(1);
        return true;
    }

    private void Loosen(double factor)
    {
        Here.Loosen(factor);
        _isTaken = false;
    }

    private bool Solve(ReadOnlySpan<double> startVolts, CancellationToken cancellationToken)
    {
        _isTaken = false;
        return _circuit.Solve(_set, _logValues, _amounts, startVolts, cancellationToken);
    }

    /// <summary>
    /// Moves values and spreads toward the local maximum, less far while the objective grows; the spreads alone where no step of both helps
    /// (what a value does may bend within the shortest).
    /// </summary>
    /// <returns>What was gained, in nats; null when the circuit settles no more even where it did before.</returns>
    private double? TakeStep(ref double objective, CancellationToken cancellationToken)
    {
        if (Here.PossibleGain(_logValues, objective) < Nothing)
        {
            return 0;
        }
        _predictor.CopyState(_volts);
        var gained = Descend(ref objective, keepsValues: false, cancellationToken);
        if (gained == 0 && Here.Values.Count > 0)
        {
            gained = Descend(ref objective, keepsValues: true, cancellationToken);
        }
        // No shorter step helps: back to the point that was linearised.
        return gained > 0 || Solve(_volts, cancellationToken) ? gained : null;
    }

    private double Descend(
        ref double objective,
        bool keepsValues,
        CancellationToken cancellationToken
    )
    {
        Here.FindMaximum(_logValues, _step, keepsValues);
        while (Here.Hold(_circuit, _step, MostAmount))
        {
            Here.FindMaximum(_logValues, _step, keepsValues);
        }
        _isTaken = false;
        var promised = Here.PossibleGain(_logValues, objective, keepsValues);
        if (promised < Nothing)
        {
            return 0;
        }
        DenseRows.AddScaled(_amounts, -1, _step);
        for (var length = 1.0; length >= ShortestStep; )
        {
            for (var i = 0; i < _amounts.Length; i++)
            {
                _trialAmounts[i] = _amounts[i] + length * _step[i];
            }
            _logValues.CopyTo(_trialValues, 0);
            for (var a = 0; a < Here.Values.Count; a++)
            {
                _trialValues[Here.Values.MemberOf(a)] += length * Here.Values.Step[a];
            }
            if (!_circuit.Solve(_set, _trialValues, _trialAmounts, _volts, cancellationToken))
            {
                length *= MostKept;
                continue;
            }
            _predictor.ReadMean();
            var trial = Here.Objective(_trialAmounts);
            if (trial < objective)
            {
                var gained = objective - trial;
                objective = trial;
                _trialAmounts.CopyTo(_amounts, 0);
                _trialValues.CopyTo(_logValues, 0);
                return gained;
            }
            length *= Kept(length, promised, trial - objective);
        }
        return 0;
    }

    /// <summary>
    /// What to keep of a step that lost: as far as the minimum of the parabola through it that begins as promised, with (2 t - t^2) of the
    /// whole step's gain.
    /// </summary>
    private static double Kept(double length, double promised, double loss)
    {
        var kept = promised * length / (loss + 2 * promised * length);
        return kept > LeastKept ? Math.Min(kept, MostKept) : LeastKept;
    }
}

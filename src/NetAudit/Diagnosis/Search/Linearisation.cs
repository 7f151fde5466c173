using System.Collections.Immutable;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// The readings about the point at which a faulted circuit was last solved: residual, covariance, the whitened effect of the free fault
/// values, and the Laplace evidence that follows. Buffers are reused. Not thread-safe.
/// </summary>
/// <param name="predictor">Reads the circuit.</param>
/// <param name="evidence">The readings to be explained.</param>
/// <remarks>
/// With r = y - m(z, v) + J z and S = J J' + D at the linearisation point, the readings' log density with the spreads z integrated out
/// is that of r under N(0, S). The logarithms of the free fault values have a flat prior of width W; integrated by Laplace they give
/// sqrt(2 pi / h) / W each, never above 1.
/// </remarks>
internal sealed class Linearisation(Predictor predictor, ReadingEvidence evidence)
{
    /// <summary>Longest step in the logarithm of a fault value: a factor of e.</summary>
    private const double MaxLogStep = 1.0;

    private readonly double[] _own = new double[predictor.Readings];
    private readonly double[] _measured = new double[predictor.Readings];
    private readonly double[] _residual = new double[predictor.Readings];
    private readonly double[] _whitened = new double[predictor.Readings];
    private readonly double[] _solved = new double[predictor.Readings];
    private readonly HiddenSigns _signs = new(predictor.Readings);
    private readonly List<(int Spread, double Amount)> _held = [];
    private ImmutableArray<int> _slips = [];

    /// <summary>The factored covariance.</summary>
    public GaussianEvidence Gaussian { get; } = new(predictor.Readings);

    /// <summary>The free fault values, their columns whitened.</summary>
    public FreeValues Values { get; } = new(predictor.Readings);

    /// <summary>The residual, [readings].</summary>
    public ReadOnlySpan<double> Residual => _residual;

    /// <summary>The residual whitened, [readings].</summary>
    public ReadOnlySpan<double> Whitened => _whitened;

    /// <summary>Begins a set, with those readings taken as slips.</summary>
    public void Begin(FaultSet set, ImmutableArray<int> slips)
    {
        _slips = slips;
        evidence.Measured.CopyTo(_measured);
        Loosen(1);
        Values.Begin(set);
    }

    /// <summary>Takes every reading's own error to be so many times what it is, until told otherwise.</summary>
    public void Loosen(double factor)
    {
        evidence.Own.CopyTo(_own);
        foreach (var slip in _slips)
        {
            _own[slip] = evidence.SlipSigma[slip];
        }
        DenseRows.Scale(_own, factor);
    }

    /// <summary>Takes the point that was just solved.</summary>
    /// <param name="circuit">The circuit, solved.</param>
    /// <param name="amounts">The spreads there, in standard deviations.</param>
    public void Take(FaultedCircuit circuit, ReadOnlySpan<double> amounts)
    {
        predictor.Read(circuit.Edits);
        var width = predictor.Width;
        // The means are those of the circuit at its spreads; what the meter adds is still to come.
        var spreads = amounts[..predictor.Terms];
        for (var i = 0; i < _residual.Length; i++)
        {
            var predictedShift = DenseRows.Dot(
                predictor.Jacobian.AsSpan(i * width, spreads.Length),
                spreads
            );
            _residual[i] = _measured[i] - predictor.Mean[i] + predictedShift;
        }
        _held.Clear();
        Decompose();
        ChooseSigns();
        WhitenFaultColumns(circuit);
    }

    /// <summary>
    /// Where the maximum just found lies beyond a bound, holds those spreads at it: the next maximum is that of the others. Until the next
    /// point is taken the predictor's derivatives by them are 0.
    /// </summary>
    /// <param name="circuit">The circuit of the point that was taken.</param>
    /// <param name="amounts">The maximum.</param>
    /// <param name="most">Largest amount, in standard deviations.</param>
    /// <returns>Whether there were any.</returns>
    public bool Hold(FaultedCircuit circuit, ReadOnlySpan<double> amounts, double most)
    {
        var width = predictor.Width;
        var before = _held.Count;
        for (var k = 0; k < amounts.Length; k++)
        {
            if (!(Math.Abs(amounts[k]) > most))
            {
                continue;
            }
            var bound = Math.CopySign(most, amounts[k]);
            _held.Add((k, bound));
            for (var i = 0; i < _residual.Length; i++)
            {
                _residual[i] -= predictor.Jacobian[i * width + k] * bound;
                predictor.Jacobian[i * width + k] = 0;
            }
        }
        if (_held.Count == before)
        {
            return false;
        }
        Decompose();
        WhitenFaultColumns(circuit);
        return true;
    }

    /// <summary>Log of the probability of set and readings; NaN when the point is not a number.</summary>
    /// <param name="set">The set.</param>
    /// <param name="logValues">Logarithms of its members' values.</param>
    /// <param name="longestStep">How far the free values may go on to their maximum, in nats.</param>
    /// <param name="quadratic">Squared Mahalanobis length of what is left of the residual.</param>
    public double LogPosterior(
        FaultSet set,
        ReadOnlySpan<double> logValues,
        double longestStep,
        out double quadratic
    )
    {
        quadratic = DenseRows.Dot(_whitened, _whitened);
        var occam = 0.0;
        if (Values.Count > 0)
        {
            // The maximum of the local quadratic, as far as the step may go.
            FindStep(logValues);
            quadratic -= Values.Reduction(_whitened, longestStep);
            occam = Values.Occam();
        }
        return LogPosterior(set, occam, quadratic);
    }

    /// <summary>
    /// The same by what the circuit as solved leaves of the readings at these spreads and values, not by where its derivatives lead: equal
    /// at the maximum, and no more than is known where none was reached.
    /// </summary>
    /// <param name="set">The set.</param>
    /// <param name="amounts">The spreads here, in standard deviations.</param>
    /// <param name="quadratic">What is left: squared, spreads included.</param>
    public double LogPosteriorHere(FaultSet set, ReadOnlySpan<double> amounts, out double quadratic)
    {
        quadratic = 2 * Objective(amounts);
        return LogPosterior(set, Values.Count > 0 ? Values.Occam() : 0, quadratic);
    }

    private double LogPosterior(FaultSet set, double occam, double quadratic) =>
        set.LogPrior
        + (set.Members.IsEmpty ? evidence.HealthyLogOdds : 0)
        + occam
        - 0.5 * (quadratic + Gaussian.LogDeterminant + _residual.Length * Math.Log(2 * Math.PI));

    /// <summary>
    /// Most that a step to the local maximum may gain, in nats, if the derivatives are right; spreads that are held stay at their bounds.
    /// </summary>
    /// <param name="logValues">Logarithms of the members' values here.</param>
    /// <param name="objective">The objective here.</param>
    /// <param name="keepsValues">Whether the values stay: the step is that of the spreads alone.</param>
    public double PossibleGain(
        ReadOnlySpan<double> logValues,
        double objective,
        bool keepsValues = false
    )
    {
        var left = DenseRows.Dot(_whitened, _whitened);
        if (!keepsValues)
        {
            FindStep(logValues);
            left -= Values.Reduction(_whitened, double.PositiveInfinity);
        }
        foreach (var (_, bound) in _held)
        {
            left += bound * bound;
        }
        return objective - 0.5 * left;
    }

    /// <summary>Finds the step of the free values toward the local maximum, and the spreads that go with it.</summary>
    /// <param name="logValues">Logarithms of the members' values here.</param>
    /// <param name="amounts">The spreads there, in standard deviations.</param>
    /// <param name="keepsValues">Whether the values stay: the maximum is that of the spreads alone.</param>
    public void FindMaximum(
        ReadOnlySpan<double> logValues,
        Span<double> amounts,
        bool keepsValues = false
    )
    {
        if (keepsValues)
        {
            Array.Clear(Values.Step);
        }
        else
        {
            FindStep(logValues);
        }
        // inv(S) (r - F step), and z = J' times that.
        for (var i = 0; i < _solved.Length; i++)
        {
            var value = _whitened[i];
            for (var a = 0; a < Values.Count; a++)
            {
                value -= Values.Columns[i * Values.Count + a] * Values.Step[a];
            }
            _solved[i] = value;
        }
        Gaussian.SolveTransposed(_solved);
        var width = predictor.Width;
        amounts.Clear();
        for (var i = 0; i < _solved.Length; i++)
        {
            DenseRows.AddScaled(predictor.Jacobian.AsSpan(i * width, width), _solved[i], amounts);
        }
        foreach (var (spread, bound) in _held)
        {
            amounts[spread] = bound;
        }
    }

    /// <summary>
    /// Half of |z|^2 + |(y - m) / own|^2 at the point whose means were just read, the meter's gain errors being the last amounts.
    /// </summary>
    public double Objective(ReadOnlySpan<double> amounts)
    {
        var sum = DenseRows.Dot(amounts, amounts);
        for (var i = 0; i < _own.Length; i++)
        {
            var predicted = predictor.Mean[i] + predictor.MeterShift(i, amounts);
            var error = Math.Abs(_measured[i] - predicted);
            if (predictor.IsSigned(i))
            {
                // The meter shows no sign: here it is the one that is nearer, whichever suited the spreads on the way.
                error = Math.Min(error, Math.Abs(_measured[i] + predicted));
            }
            sum += error / _own[i] * (error / _own[i]);
        }
        return 0.5 * sum;
    }

    private void Decompose()
    {
        Gaussian.Decompose(predictor.Jacobian, predictor.Width, _own);
        _residual.CopyTo(_whitened, 0);
        Gaussian.Whiten(_whitened);
    }

    private void FindStep(ReadOnlySpan<double> logValues) =>
        Values.FindStep(_whitened, logValues, MaxLogStep);

    /// <summary>Gives levels near a null the signs that suit the other readings best.</summary>
    private void ChooseSigns()
    {
        _signs.Clear();
        for (var i = 0; i < _residual.Length; i++)
        {
            if (predictor.IsSigned(i) && _measured[i] != 0)
            {
                _signs.Add(i);
            }
        }
        if (_signs.Count == 0)
        {
            return;
        }
        _signs.Choose(Gaussian, _whitened, _measured);
        foreach (var i in _signs.Flipped)
        {
            _residual[i] -= 2 * _measured[i];
            _measured[i] = -_measured[i];
        }
    }

    private void WhitenFaultColumns(FaultedCircuit circuit)
    {
        if (Values.Count == 0)
        {
            return;
        }
        var columns = Values.Columns;
        columns.Clear();
        for (var scene = 0; scene < predictor.Scenes.Length; scene++)
        {
            var first = predictor.Scenes[scene].First;
            var end = first + predictor.Scenes[scene].Rows.Length;
            foreach (var (member, column, size) in circuit.EffectsIn(scene))
            {
                var free = Values.Of(member);
                for (var i = first; free >= 0 && i < end; i++)
                {
                    columns[i * Values.Count + free] +=
                        predictor.Raw[i * predictor.RawWidth + column] * size;
                }
            }
        }
        Gaussian.Whiten(columns, Values.Count);
    }
}

using System.Collections.Immutable;
using System.Numerics.Tensors;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>A further fault for a set, at the value where the solved circuit comes nearest to the readings.</summary>
internal readonly record struct SolvedExtension(FaultClass Extra, double Value, double Score);

/// <summary>
/// Adds every fault of the catalogue to a set and solves each: where faults interact strongly (a short behind an open fuse) no sum of
/// effects and no derivative foretells what they do together. Only the means are read; they are judged by the base set's covariance,
/// and by a coarse one for states that have little in common with the base.
/// </summary>
internal sealed class SolvedExtensions
{
    /// <summary>
    /// The coarse errors, as fractions of what is read and of what a healthy unit reads there (common practice, no source): a fault that
    /// leaves less of a rail than this leaves nothing of it.
    /// </summary>
    private const double OfReading = 0.03;
    private const double OfHealthy = 0.01;

    /// <summary>The coarse error of a level or resistance, which are compared by ratio.</summary>
    private const double OfRatio = 0.1;

    private readonly SetEvaluator _evaluator;
    private readonly ReadingEvidence _evidence;
    private readonly FaultedCircuit _circuit;
    private readonly ImmutableArray<FaultClass> _classes;
    private readonly double[] _healthy;
    private readonly double[] _units;
    private readonly double[] _start;
    private readonly double[] _shift;
    private double[] _now;
    private double[] _before;

    public SolvedExtensions(
        SetEvaluator evaluator,
        ImmutableArray<FaultClass> classes,
        ReadOnlySpan<double> healthy
    )
    {
        _evaluator = evaluator;
        _evidence = evaluator.Evidence;
        _circuit = new(evaluator.Predictor);
        _classes = classes;
        _healthy = [.. healthy];
        var readings = evaluator.Predictor.Readings;
        _units = new double[readings * SetEvaluator.MaxMembers];
        _start = new double[evaluator.Predictor.StateLength];
        _shift = new double[readings];
        _now = new double[readings];
        _before = new double[readings];
    }

    /// <summary>The most promising faults to add to the set that the evaluator has just evaluated.</summary>
    /// <param name="set">That set.</param>
    /// <param name="values">The values it was evaluated at.</param>
    /// <param name="amounts">The spreads it was evaluated at, in standard deviations.</param>
    /// <param name="count">How many by either measure.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public IReadOnlyList<SolvedExtension> Best(
        FaultSet set,
        ImmutableArray<double> values,
        ImmutableArray<double> amounts,
        int count,
        CancellationToken cancellationToken
    )
    {
        _evaluator.Predictor.CopyState(_start);
        // What the spreads at this point do, to first order, is in the covariance and not in the residual.
        TensorPrimitives.Subtract(_evaluator.Residual, _evidence.Measured, _shift);
        TensorPrimitives.Add<double>(_shift, _evaluator.Predictor.Mean, _shift);
        var free = Orthonormalise();
        var fine = new List<SolvedExtension>();
        var coarse = new List<SolvedExtension>();
        foreach (var extra in _classes)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (set.With(extra) is { } larger)
            {
                var (byBase, byItself) = Nearest(
                    set,
                    values,
                    amounts,
                    larger,
                    extra,
                    free,
                    cancellationToken
                );
                fine.Add(byBase);
                coarse.Add(byItself);
            }
        }
        return [.. Leading(fine), .. Leading(coarse)];

        IEnumerable<SolvedExtension> Leading(List<SolvedExtension> all) =>
            all.OrderByDescending(e => e.Score).Take(count);
    }

    private (SolvedExtension ByBase, SolvedExtension ByItself) Nearest(
        FaultSet set,
        ImmutableArray<double> values,
        ImmutableArray<double> amounts,
        FaultSet larger,
        FaultClass extra,
        int free,
        CancellationToken cancellationToken
    )
    {
        Span<double> logValues = stackalloc double[larger.Members.Length];
        var (fine, fineAt) = (double.PositiveInfinity, extra.Range.Grid[0]);
        var (coarse, coarseAt) = (double.PositiveInfinity, extra.Range.Grid[0]);
        var hasBefore = false;
        for (var step = 0; step < extra.Range.Grid.Length; step++)
        {
            var value = extra.Range.Grid[step];
            for (var i = 0; i < logValues.Length; i++)
            {
                var at = set.Members.IndexOf(larger.Members[i]);
                logValues[i] = Math.Log(at < 0 ? value : values[at]);
            }
            if (!_circuit.Solve(larger, logValues, amounts.AsSpan(), _start, cancellationToken))
            {
                hasBefore = false;
                continue;
            }
            _evaluator.Predictor.ReadMean();
            var rough = Coarse();
            if (rough < coarse)
            {
                (coarse, coarseAt) = (rough, value);
            }
            Whiten(free);
            var (misfit, share) = hasBefore
                ? Between()
                : (TensorPrimitives.Dot<double>(_now, _now), 0);
            if (misfit < fine)
            {
                var previous = hasBefore ? extra.Range.Grid[step - 1] : value;
                (fine, fineAt) = (misfit, value * Math.Pow(previous / value, share));
            }
            (_now, _before) = (_before, _now);
            hasBefore = true;
        }
        var prior = extra.LogWeight;
        return (new(extra, fineAt, prior - 0.5 * fine), new(extra, coarseAt, prior - 0.5 * coarse));
    }

    /// <summary>The base's free values as orthonormal directions, [readings] each.</summary>
    private int Orthonormalise()
    {
        var readings = _now.Length;
        var free = _evaluator.FreeValues;
        var kept = 0;
        for (var a = 0; a < free; a++)
        {
            var unit = _units.AsSpan(kept * readings, readings);
            for (var i = 0; i < readings; i++)
            {
                unit[i] = _evaluator.WhitenedFaultColumns[i * free + a];
            }
            Remove(unit, kept);
            var length = TensorPrimitives.Norm<double>(unit);
            if (length > 1e-6)
            {
                TensorPrimitives.Divide<double>(unit, length, unit);
                kept++;
            }
        }
        return kept;
    }

    private void Remove(Span<double> vector, int units)
    {
        for (var a = 0; a < units; a++)
        {
            var unit = _units.AsSpan(a * vector.Length, vector.Length);
            var along = TensorPrimitives.Dot<double>(unit, vector);
            TensorPrimitives.MultiplyAdd(unit, -along, vector, vector);
        }
    }

    private void Whiten(int free)
    {
        TensorPrimitives.Subtract<double>(_evidence.Measured, _evaluator.Predictor.Mean, _now);
        TensorPrimitives.Add<double>(_now, _shift, _now);
        _evaluator.Gaussian.Whiten(_now);
        Remove(_now, free);
    }

    /// <summary>Least misfit between this grid value and the one before, readings taken as going straight from one to the other.</summary>
    private (double Misfit, double Share) Between()
    {
        var now = TensorPrimitives.Dot<double>(_now, _now);
        var before = TensorPrimitives.Dot<double>(_before, _before);
        var both = TensorPrimitives.Dot<double>(_now, _before);
        var apart = now + before - 2 * both;
        var share = apart > 0 ? Math.Clamp((now - both) / apart, 0, 1) : 0;
        return (now - 2 * share * (now - both) + share * share * apart, share);
    }

    /// <summary>A misfit that no single reading can spoil.</summary>
    private double Coarse()
    {
        var mean = _evaluator.Predictor.Mean;
        var sum = 0.0;
        for (var i = 0; i < mean.Length; i++)
        {
            var own = _evidence.Own[i];
            var rough =
                _evaluator.Predictor.Rows[i].Kind == ReadingKind.Dc
                    ? Math.Abs(OfReading * mean[i]) + Math.Abs(OfHealthy * _healthy[i])
                    : OfRatio;
            var error = _evidence.Measured[i] - mean[i];
            sum += Math.Log(1 + error * error / (own * own + rough * rough));
        }
        return sum;
    }
}

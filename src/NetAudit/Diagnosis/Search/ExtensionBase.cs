using System.Collections.Immutable;
using NetAudit.Diagnosis.Evidence;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// A set as the evaluator has just evaluated it, from which extensions are judged: its node volts, and what is left of a residual once
/// its spreads and free values have taken up what they can.
/// </summary>
internal sealed class ExtensionBase
{
    private const double LeastLength = 1e-6;

    private readonly GaussianEvidence _gaussian;
    private readonly double[] _shift;
    private readonly List<double[]> _units = [];

    /// <param name="evaluator">In the state of the set.</param>
    /// <param name="set">The set.</param>
    /// <param name="values">The values it was evaluated at.</param>
    /// <param name="amounts">The spreads it was evaluated at, in standard deviations.</param>
    public ExtensionBase(
        SetEvaluator evaluator,
        FaultSet set,
        ImmutableArray<double> values,
        ImmutableArray<double> amounts
    )
    {
        (Set, Values, Amounts) = (set, values, amounts);
        _gaussian = evaluator.Gaussian;
        Volts = new double[evaluator.Predictor.StateLength];
        evaluator.Predictor.CopyState(Volts);
        // What the spreads at this point do, to first order, is in the covariance and not in the residual.
        _shift = [.. evaluator.Residual];
        DenseRows.AddScaled(evaluator.Evidence.Measured, -1, _shift);
        DenseRows.AddScaled(evaluator.Predictor.Mean, 1, _shift);
        Orthonormalise(evaluator);
    }

    /// <summary>The set.</summary>
    public FaultSet Set { get; }

    /// <summary>Its values.</summary>
    public ImmutableArray<double> Values { get; }

    /// <summary>The spreads, in standard deviations.</summary>
    public ImmutableArray<double> Amounts { get; }

    /// <summary>The node volts, scene by scene.</summary>
    public double[] Volts { get; }

    /// <summary>Replaces a residual by what is left of it, whitened. May run side by side.</summary>
    public void Whiten(Span<double> residual)
    {
        DenseRows.AddScaled(_shift, 1, residual);
        _gaussian.Whiten(residual);
        Remove(residual);
    }

    /// <summary>The free values as orthonormal directions, [readings] each.</summary>
    private void Orthonormalise(SetEvaluator evaluator)
    {
        var free = evaluator.FreeValues;
        for (var a = 0; a < free; a++)
        {
            var unit = new double[_shift.Length];
            for (var i = 0; i < unit.Length; i++)
            {
                unit[i] = evaluator.WhitenedFaultColumns[i * free + a];
            }
            Remove(unit);
            var length = Math.Sqrt(DenseRows.Dot(unit, unit));
            if (length > LeastLength)
            {
                DenseRows.Scale(unit, 1 / length);
                _units.Add(unit);
            }
        }
    }

    private void Remove(Span<double> vector)
    {
        foreach (var unit in _units)
        {
            DenseRows.AddScaled(unit, -DenseRows.Dot(unit, vector), vector);
        }
    }
}

using System.Collections.Immutable;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Evidence;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// The effects of single faults on the readings at hand, and what adding them to an evaluated set would gain. Distant faults add up,
/// however strong they are: where the linear screen fails (a plate cut off), the sum of known effects still foretells the pair.
/// </summary>
internal sealed class KnownEffects
{
    private readonly int _readings;
    private readonly double[] _effects;
    private readonly double[] _whitened;
    private readonly double[] _along;
    private readonly double[] _square;
    private readonly double[] _halfCells;

    /// <param name="singles">Effects of single faults, prepared for these readings.</param>
    /// <param name="predictor">The readings.</param>
    /// <param name="classes">The catalogue as observations and complaints weigh it.</param>
    public KnownEffects(
        SingleEffects singles,
        Predictor predictor,
        ImmutableArray<FaultClass> classes
    )
    {
        Faults = [.. singles.Faults.Select(f => f with { Class = classes[f.Class.Index] })];
        Settled = singles.Settled;
        _readings = predictor.Readings;
        var count = singles.Faults.Length;
        _effects = new double[_readings * count];
        foreach (var scene in predictor.Scenes)
        {
            for (var i = 0; i < scene.Rows.Length; i++)
            {
                singles
                    .ChangesOf(scene.Scene, scene.Rows[i])
                    .CopyTo(_effects.AsSpan((scene.First + i) * count, count));
            }
        }
        _whitened = new double[_effects.Length];
        _along = new double[count];
        _square = new double[count];
        _halfCells = [.. singles.Faults.Select(f => HalfCell(f.Class.Range))];
        Gains = new double[count];
        Amounts = new double[count];
    }

    /// <summary>The faults.</summary>
    public ImmutableArray<SingleFault> Faults { get; }

    /// <summary>Classes of which some value acts on the readings, or is not known not to.</summary>
    public ImmutableArray<FaultClass> Acting =>
        [.. Faults.Where((_, i) => Changes(i)).Select(f => f.Class).DistinctBy(c => c.Index)];

    /// <summary>Whether the circuit settled under each.</summary>
    public bool[] Settled { get; }

    /// <summary>Foretold gain of each fault after <see cref="Score"/>, nats.</summary>
    public double[] Gains { get; }

    /// <summary>Best amount of each effect after <see cref="Score"/>: 1, or near 1 where the fault's value is free.</summary>
    public double[] Amounts { get; }

    /// <summary>Whitened effects after <see cref="Score"/>, [readings x faults].</summary>
    public ReadOnlySpan<double> Whitened => _whitened;

    /// <summary>Whether a fault changes any of the readings at all.</summary>
    public bool Changes(int fault)
    {
        for (var i = 0; i < _readings; i++)
        {
            if (_effects[i * Gains.Length + fault] != 0)
            {
                return true;
            }
        }
        return false;
    }

    /// <summary>Works out what each fault would add to the set just evaluated.</summary>
    public void Score(SetEvaluator evaluator)
    {
        var count = Gains.Length;
        _effects.CopyTo(_whitened, 0);
        evaluator.Gaussian.Whiten(_whitened, count);
        Array.Clear(_along);
        Array.Clear(_square);
        for (var i = 0; i < _readings; i++)
        {
            var row = _whitened.AsSpan(i * count, count);
            DenseRows.AddScaled(row, evaluator.WhitenedResidual[i], _along);
            for (var fault = 0; fault < count; fault++)
            {
                _square[fault] += row[fault] * row[fault];
            }
        }
        for (var fault = 0; fault < count; fault++)
        {
            Amounts[fault] = Amount(fault, _along[fault], _square[fault]);
            Gains[fault] = Amounts[fault] * (_along[fault] - 0.5 * Amounts[fault] * _square[fault]);
        }
    }

    /// <summary>
    /// The amount of an effect that explains most: a free value stands for its grid cell, within which its effect grows or shrinks about
    /// in proportion.
    /// </summary>
    public double Amount(int fault, double along, double square)
    {
        var half = _halfCells[fault];
        return half > 1 && square > 0 ? Math.Clamp(along / square, 1 / half, half) : 1;
    }

    /// <summary>Half the width of a grid cell of a free value, as a factor; 1 where the value is given.</summary>
    private static double HalfCell(ValueRange range) =>
        range.IsContinuous ? Math.Exp(0.5 * range.LogWidth / range.Grid.Length) : 1;
}

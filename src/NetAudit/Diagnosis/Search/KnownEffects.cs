using System.Numerics.Tensors;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// What each single fault, at each grid value, did to the readings of the healthy unit. Distant faults add up, however strong they are:
/// where the linear screen fails (a plate cut off), the sum of two known effects still foretells the pair.
/// </summary>
/// <param name="readings">Number of readings.</param>
/// <param name="capacity">Number of faults and values.</param>
internal sealed class KnownEffects(int readings, int capacity)
{
    private readonly double[] _effects = new double[readings * capacity];
    private readonly double[] _whitened = new double[readings * capacity];
    private readonly int[] _classes = new int[capacity];
    private readonly double[] _along = new double[capacity];
    private readonly double[] _square = new double[capacity];
    private int _count;

    /// <summary>Records one effect.</summary>
    /// <param name="fault">Class index.</param>
    /// <param name="faulted">Readings with the fault.</param>
    /// <param name="healthy">Readings without.</param>
    public void Add(int fault, ReadOnlySpan<double> faulted, ReadOnlySpan<double> healthy)
    {
        for (var i = 0; i < readings; i++)
        {
            _effects[i * capacity + _count] = faulted[i] - healthy[i];
        }
        _classes[_count++] = fault;
    }

    /// <summary>Raises each class's foretold gain to that of its best known effect, added to the set just evaluated.</summary>
    public void Score(SetEvaluator evaluator, Span<double> gains)
    {
        _effects.CopyTo(_whitened, 0);
        evaluator.Gaussian.Whiten(_whitened, capacity);
        Array.Clear(_along);
        Array.Clear(_square);
        for (var i = 0; i < readings; i++)
        {
            var row = _whitened.AsSpan(i * capacity, capacity);
            TensorPrimitives.MultiplyAdd(row, evaluator.WhitenedResidual[i], _along, _along);
            TensorPrimitives.MultiplyAdd(row, row, _square, _square);
        }
        for (var effect = 0; effect < _count; effect++)
        {
            var gain = _along[effect] - 0.5 * _square[effect];
            gains[_classes[effect]] = Math.Max(gains[_classes[effect]], gain);
        }
    }
}

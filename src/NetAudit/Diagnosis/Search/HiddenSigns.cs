using NetAudit.Diagnosis.Evidence;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// The signs of levels near a null, which no meter shows: of all combinations the one that suits the covariance best. Buffers are
/// reused. Not thread-safe.
/// </summary>
/// <remarks>
/// Changing readings by d changes the squared length of the residual r by 2 d' inv(S) r + d' inv(S) d. With W = inv(L) E for the readings
/// in question: inv(S) r restricted to them is W' (inv(L) r), inv(S) is W' W. All combinations are gone through, one flip at a time
/// (a Gray code).
/// </remarks>
internal sealed class HiddenSigns(int readings)
{
    /// <summary>Signs beyond so many stay as they are.</summary>
    private const int Most = 10;

    private readonly int[] _rows = new int[Most];
    private readonly double[] _units = new double[Most * readings];
    private readonly double[] _gradient = new double[Most];
    private readonly double[] _curvature = new double[Most * Most];
    private readonly double[] _changes = new double[Most];
    private readonly List<int> _flipped = new(Most);

    /// <summary>Number of readings in question.</summary>
    public int Count { get; private set; }

    /// <summary>The readings whose sign is to be changed, after <see cref="Choose"/>.</summary>
    public IReadOnlyList<int> Flipped => _flipped;

    /// <summary>Forgets all readings.</summary>
    public void Clear() => Count = 0;

    /// <summary>Adds a reading.</summary>
    public void Add(int reading)
    {
        if (Count < Most)
        {
            _rows[Count++] = reading;
        }
    }

    /// <summary>Finds the best signs.</summary>
    /// <param name="gaussian">The factored covariance.</param>
    /// <param name="whitened">The whitened residual; changed along with the signs.</param>
    /// <param name="measured">The readings with their present signs.</param>
    public void Choose(
        GaussianEvidence gaussian,
        Span<double> whitened,
        ReadOnlySpan<double> measured
    )
    {
        Prepare(gaussian, whitened, measured);
        // _gradient holds the slope at the present combination; a flip of i changes the length by c (2 g_i + c H_ii).
        double length = 0,
            best = -1e-9;
        int present = 0,
            chosen = 0;
        for (var step = 1; step < 1 << Count; step++)
        {
            var i = System.Numerics.BitOperations.TrailingZeroCount(step);
            var isFlipped = (present & (1 << i)) != 0;
            var change = isFlipped ? -_changes[i] : _changes[i];
            length += change * (2 * _gradient[i] + change * _curvature[i * Most + i]);
            for (var j = 0; j < Count; j++)
            {
                _gradient[j] += change * _curvature[j * Most + i];
            }
            present ^= 1 << i;
            if (length < best)
            {
                (best, chosen) = (length, present);
            }
        }
        _flipped.Clear();
        for (var i = 0; i < Count; i++)
        {
            if ((chosen & (1 << i)) != 0)
            {
                _flipped.Add(_rows[i]);
                DenseRows.AddScaled(Unit(i), _changes[i], whitened);
            }
        }
    }

    private void Prepare(
        GaussianEvidence gaussian,
        ReadOnlySpan<double> whitened,
        ReadOnlySpan<double> measured
    )
    {
        for (var i = 0; i < Count; i++)
        {
            var unit = Unit(i);
            unit.Clear();
            unit[_rows[i]] = 1;
            gaussian.Whiten(unit);
            _gradient[i] = DenseRows.Dot(unit, whitened);
            _changes[i] = -2 * measured[_rows[i]];
            for (var j = 0; j <= i; j++)
            {
                var product = DenseRows.Dot(unit, Unit(j));
                _curvature[i * Most + j] = product;
                _curvature[j * Most + i] = product;
            }
        }
    }

    private Span<double> Unit(int i) => _units.AsSpan(i * readings, readings);
}

namespace NetAudit.Diagnosis.Evidence;

/// <summary>
/// The density of a residual under a Gaussian with covariance <c>S = J J' + D</c>, its Cholesky factor, and what follows from it:
/// whitened columns, and the deviation of each reading given all others. Buffers are kept; nothing is allocated after construction.
/// Row-major, lower triangle. Not thread-safe.
/// </summary>
internal sealed class GaussianEvidence(int readings)
{
    private const int StripWidth = 64;

    private readonly double[] _factor = new double[readings * readings];
    private readonly double[] _inverse = new double[readings * readings];
    private readonly double[] _work = new double[readings];

    /// <summary>Number of readings.</summary>
    public int Readings => readings;

    /// <summary>Logarithm of the determinant of S.</summary>
    public double LogDeterminant { get; private set; }

    /// <summary>The lower Cholesky factor L of S, [readings x readings].</summary>
    public ReadOnlySpan<double> Factor => _factor;

    /// <summary>Factors <c>S = J J' + diag(own)^2</c>.</summary>
    /// <param name="jacobian">Spread-weighted derivatives, [readings x width].</param>
    /// <param name="width">Row length of <paramref name="jacobian"/>, a multiple of 4.</param>
    /// <param name="own">One sigma of each reading's own error, [readings]; positive, so S is positive definite.</param>
    public void Decompose(ReadOnlySpan<double> jacobian, int width, ReadOnlySpan<double> own)
    {
        RowProducts.Lower(jacobian, readings, width, _factor);
        LogDeterminant = 0;
        for (var i = 0; i < readings; i++)
        {
            var row = _factor.AsSpan(i * readings, readings);
            for (var j = 0; j < i; j++)
            {
                var earlier = _factor.AsSpan(j * readings, j + 1);
                row[j] = (row[j] - DenseRows.Dot(row[..j], earlier[..j])) / earlier[j];
            }
            var pivot = row[i] + own[i] * own[i] - DenseRows.Dot(row[..i], row[..i]);
            // own[i]^2 bounds the exact pivot from below; rounding may not.
            pivot = Math.Max(pivot, own[i] * own[i]);
            row[i] = Math.Sqrt(pivot);
            LogDeterminant += Math.Log(pivot);
        }
    }

    /// <summary>Standard deviation of one reading: the square root of its diagonal element of S.</summary>
    public double Sigma(int reading)
    {
        var row = _factor.AsSpan(reading * readings, reading + 1);
        return Math.Sqrt(DenseRows.Dot(row, row));
    }

    /// <summary>Replaces a vector by inv(L) times it.</summary>
    public void Whiten(Span<double> vector)
    {
        for (var i = 0; i < readings; i++)
        {
            var factor = _factor.AsSpan(i * readings, readings);
            vector[i] = (vector[i] - DenseRows.Dot(factor[..i], vector[..i])) / factor[i];
        }
    }

    /// <summary>Replaces each column of a row-major block by inv(L) times it.</summary>
    /// <param name="block">[readings x width], in place.</param>
    /// <param name="width">Number of columns.</param>
    public void Whiten(Span<double> block, int width)
    {
        // In strips of columns whose rows stay in the first-level cache.
        for (var first = 0; first < width; first += StripWidth)
        {
            var strip = Math.Min(StripWidth, width - first);
            for (var i = 0; i < readings; i++)
            {
                var row = block.Slice(i * width + first, strip);
                var factor = _factor.AsSpan(i * readings, readings);
                for (var j = 0; j < i; j++)
                {
                    DenseRows.AddScaled(block.Slice(j * width + first, strip), -factor[j], row);
                }
                DenseRows.Scale(row, 1 / factor[i]);
            }
        }
    }

    /// <summary>Replaces a vector by inv(L') times it; after <see cref="Whiten(Span{double})"/> that makes inv(S).</summary>
    public void SolveTransposed(Span<double> vector)
    {
        for (var i = readings - 1; i >= 0; i--)
        {
            var value = vector[i] / _factor[i * readings + i];
            vector[i] = value;
            DenseRows.AddScaled(_factor.AsSpan(i * readings, i), -value, vector[..i]);
        }
    }

    /// <summary>
    /// The square of the most sigmas by which a reading departs from what all others say of it, with inv(S) times the residual and the
    /// diagonal of inv(S), [readings] each.
    /// </summary>
    public static double LargestSquare(ReadOnlySpan<double> solved, ReadOnlySpan<double> precisions)
    {
        var largest = 0.0;
        for (var i = 0; i < solved.Length; i++)
        {
            largest = Math.Max(largest, solved[i] * solved[i] / precisions[i]);
        }
        return largest;
    }

    /// <summary>Inverse of S, [readings x readings], both triangles; valid until the next call.</summary>
    public Span<double> Inverse()
    {
        _inverse.AsSpan().Clear();
        for (var i = 0; i < readings; i++)
        {
            _inverse[i * readings + i] = 1;
        }
        Whiten(_inverse, readings);
        for (var i = readings - 1; i >= 0; i--)
        {
            var row = _inverse.AsSpan(i * readings, readings);
            DenseRows.Scale(row, 1 / _factor[i * readings + i]);
            for (var j = 0; j < i; j++)
            {
                var target = _inverse.AsSpan(j * readings, readings);
                DenseRows.AddScaled(row, -_factor[i * readings + j], target);
            }
        }
        return _inverse;
    }

    /// <summary>The diagonal of the inverse of S: one over the variance that each reading keeps when all others are known.</summary>
    public void Precisions(Span<double> precisions)
    {
        var inverse = Inverse();
        for (var i = 0; i < readings; i++)
        {
            precisions[i] = inverse[i * readings + i];
        }
    }

    /// <summary>Log density of a residual, in nats.</summary>
    /// <param name="residual">[readings].</param>
    /// <param name="quadratic">The squared Mahalanobis length <c>r' inv(S) r</c>.</param>
    public double LogDensity(ReadOnlySpan<double> residual, out double quadratic)
    {
        residual.CopyTo(_work);
        Whiten(_work);
        quadratic = DenseRows.Dot(_work, _work);
        return -0.5 * (quadratic + LogDeterminant + readings * Math.Log(2 * Math.PI));
    }

    /// <summary>
    /// Deviation of each reading given all others, in standard deviations: <c>(inv(S) r)_i / sqrt(inv(S)_ii)</c>.
    /// </summary>
    public void GivenOthers(ReadOnlySpan<double> residual, Span<double> deviations)
    {
        var inverse = Inverse();
        for (var i = 0; i < readings; i++)
        {
            var row = inverse.Slice(i * readings, readings);
            deviations[i] = DenseRows.Dot(row, residual) / Math.Sqrt(row[i]);
        }
    }
}

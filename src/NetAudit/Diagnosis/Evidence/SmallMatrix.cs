namespace NetAudit.Diagnosis.Evidence;

/// <summary>Dense symmetric systems of a handful of unknowns, in place.</summary>
internal static class SmallMatrix
{
    /// <summary>Cholesky factor of the leading [size x size] block, into its lower triangle. A pivot below the smallest normal is lifted to it.</summary>
    public static void Cholesky(Span<double> matrix, int size)
    {
        for (var i = 0; i < size; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = matrix[i * size + j];
                for (var k = 0; k < j; k++)
                {
                    sum -= matrix[i * size + k] * matrix[j * size + k];
                }
                matrix[i * size + j] =
                    i == j ? Math.Sqrt(Math.Max(sum, 1e-300)) : sum / matrix[j * size + j];
            }
        }
    }

    /// <summary>Solves with the factor of <see cref="Cholesky"/>; the vector's length is the size.</summary>
    public static void SolveFactored(ReadOnlySpan<double> factor, Span<double> vector)
    {
        var size = vector.Length;
        for (var i = 0; i < size; i++)
        {
            for (var k = 0; k < i; k++)
            {
                vector[i] -= factor[i * size + k] * vector[k];
            }
            vector[i] /= factor[i * size + i];
        }
        for (var i = size - 1; i >= 0; i--)
        {
            for (var k = i + 1; k < size; k++)
            {
                vector[i] -= factor[k * size + i] * vector[k];
            }
            vector[i] /= factor[i * size + i];
        }
    }
}

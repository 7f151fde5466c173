using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace NetAudit.Diagnosis.Evidence;

/// <summary>Products of all pairs of rows of a matrix: the inner loop of every covariance.</summary>
internal static class RowProducts
{
    /// <summary>Lower triangle of <c>J J'</c>.</summary>
    /// <param name="matrix">J, [rows x width], row-major.</param>
    /// <param name="rows">Number of rows.</param>
    /// <param name="width">Row length, a multiple of 4.</param>
    /// <param name="products">[rows x rows], row-major; only the lower triangle is meant.</param>
    /// <remarks>Four rows against two at a time: each loaded vector serves several products, which one dot product a pair cannot do.</remarks>
    public static void Lower(
        ReadOnlySpan<double> matrix,
        int rows,
        int width,
        Span<double> products
    )
    {
        var even = rows & ~1;
        for (var i = 0; i < even; i += 2)
        {
            var j = 0;
            for (; j + 4 <= i + 2; j += 4)
            {
                TwoByFour(matrix, i, j, width, rows, products);
            }
            for (; j <= i + 1; j++)
            {
                Single(matrix, i, j, width, rows, products);
                Single(matrix, i + 1, j, width, rows, products);
            }
        }
        for (var j = 0; even < rows && j < rows; j++)
        {
            Single(matrix, even, j, width, rows, products);
        }
    }

    private static void Single(
        ReadOnlySpan<double> matrix,
        int i,
        int j,
        int width,
        int rows,
        Span<double> products
    ) =>
        products[i * rows + j] = DenseRows.Dot(
            matrix.Slice(i * width, width),
            matrix.Slice(j * width, width)
        );

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void TwoByFour(
        ReadOnlySpan<double> matrix,
        int i,
        int j,
        int width,
        int rows,
        Span<double> products
    )
    {
        ref var start = ref MemoryMarshal.GetReference(matrix);
        nuint a0 = (nuint)(i * width),
            a1 = a0 + (nuint)width,
            b0 = (nuint)(j * width),
            b1 = b0 + (nuint)width,
            b2 = b1 + (nuint)width,
            b3 = b2 + (nuint)width;
        Vector256<double> s00 = default,
            s01 = default,
            s02 = default,
            s03 = default,
            s10 = default,
            s11 = default,
            s12 = default,
            s13 = default;
        for (nuint k = 0; k < (nuint)width; k += 4)
        {
            var x0 = Vector256.LoadUnsafe(ref start, a0 + k);
            var x1 = Vector256.LoadUnsafe(ref start, a1 + k);
            var y0 = Vector256.LoadUnsafe(ref start, b0 + k);
            var y1 = Vector256.LoadUnsafe(ref start, b1 + k);
            var y2 = Vector256.LoadUnsafe(ref start, b2 + k);
            var y3 = Vector256.LoadUnsafe(ref start, b3 + k);
            s00 = Vector256.FusedMultiplyAdd(x0, y0, s00);
            s01 = Vector256.FusedMultiplyAdd(x0, y1, s01);
            s02 = Vector256.FusedMultiplyAdd(x0, y2, s02);
            s03 = Vector256.FusedMultiplyAdd(x0, y3, s03);
            s10 = Vector256.FusedMultiplyAdd(x1, y0, s10);
            s11 = Vector256.FusedMultiplyAdd(x1, y1, s11);
            s12 = Vector256.FusedMultiplyAdd(x1, y2, s12);
            s13 = Vector256.FusedMultiplyAdd(x1, y3, s13);
        }
        var row0 = products.Slice(i * rows + j, 4);
        var row1 = products.Slice((i + 1) * rows + j, 4);
        row0[0] = Vector256.Sum(s00);
        row0[1] = Vector256.Sum(s01);
        row0[2] = Vector256.Sum(s02);
        row0[3] = Vector256.Sum(s03);
        row1[0] = Vector256.Sum(s10);
        row1[1] = Vector256.Sum(s11);
        row1[2] = Vector256.Sum(s12);
        row1[3] = Vector256.Sum(s13);
    }
}

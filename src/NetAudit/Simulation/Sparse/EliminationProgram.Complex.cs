using System.Numerics;
using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation.Sparse;

// The same elimination with complex numbers. Values and inverse pivots lie as pairs: real part, imaginary part.
internal sealed unsafe partial class EliminationProgram
{
    /// <summary>Factors in place. Returns false at a pivot that is zero or not a number.</summary>
    public bool FactorComplex(double* values, double* inverse)
    {
        fixed (
            int* rowStart = _rowStart,
                dynamicStart = _dynamicStart,
                pivot = _pivot,
                column = _column,
                staticTargets = _staticTargets,
                dynamicTargets = _dynamicTargets
        )
        {
            var target = staticTargets;
            var ok = true;
            for (var i = 0; i < Size; i++)
            {
                target = EliminateComplexRow(
                    values,
                    inverse,
                    rowStart[i],
                    dynamicStart[i],
                    rowStart,
                    pivot,
                    column,
                    target
                );
                if (i < StaticCount)
                {
                    ok &= Invert(values + 2 * pivot[i], inverse + 2 * i);
                }
            }
            target = dynamicTargets;
            for (var i = StaticCount; i < Size; i++)
            {
                target = EliminateComplexRow(
                    values,
                    inverse,
                    dynamicStart[i],
                    pivot[i],
                    rowStart,
                    pivot,
                    column,
                    target
                );
                ok &= Invert(values + 2 * pivot[i], inverse + 2 * i);
            }
            return ok;
        }
    }

    /// <summary>Solves A x = b. <paramref name="work"/> holds Size numbers; b and x may be the same.</summary>
    public void SolveComplex(double* values, double* inverse, Complex* b, Complex* x, Complex* work)
    {
        var entries = (Complex*)values;
        var inverses = (Complex*)inverse;
        for (var i = 0; i < Size; i++)
        {
            var sum = b[_rowAt[i]];
            for (var slot = _rowStart[i]; slot < _pivot[i]; slot++)
            {
                sum -= entries[slot] * work[_column[slot]];
            }
            work[i] = sum;
        }
        for (var i = Size - 1; i >= 0; i--)
        {
            var sum = work[i];
            for (var slot = _pivot[i] + 1; slot < _rowStart[i + 1]; slot++)
            {
                sum -= entries[slot] * work[_column[slot]];
            }
            work[i] = sum * inverses[i];
        }
        for (var i = 0; i < Size; i++)
        {
            x[_columnAt[i]] = work[i];
        }
    }

    /// <summary>Solves A x = b in every lane. <paramref name="work"/> holds Size entries.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void SolveComplex(
        double* values,
        double* inverse,
        ComplexLanes* b,
        ComplexLanes* x,
        ComplexLanes* work
    )
    {
        fixed (
            int* rowStart = _rowStart,
                pivot = _pivot,
                column = _column,
                rowAt = _rowAt,
                columnAt = _columnAt
        )
        {
            for (var i = 0; i < Size; i++)
            {
                var (real, imaginary) = (b[rowAt[i]].Real, b[rowAt[i]].Imaginary);
                var last = pivot[i];
                for (var slot = rowStart[i]; slot < last; slot++)
                {
                    var (re, im) = (values[2 * slot], values[2 * slot + 1]);
                    var other = work + column[slot];
                    real -= re * other->Real - im * other->Imaginary;
                    imaginary -= re * other->Imaginary + im * other->Real;
                }
                work[i] = new(real, imaginary);
            }
            for (var i = Size - 1; i >= 0; i--)
            {
                var (real, imaginary) = (work[i].Real, work[i].Imaginary);
                var last = rowStart[i + 1];
                for (var slot = pivot[i] + 1; slot < last; slot++)
                {
                    var (re, im) = (values[2 * slot], values[2 * slot + 1]);
                    var other = work + column[slot];
                    real -= re * other->Real - im * other->Imaginary;
                    imaginary -= re * other->Imaginary + im * other->Real;
                }
                var (inverseRe, inverseIm) = (inverse[2 * i], inverse[2 * i + 1]);
                var result = new ComplexLanes(
                    inverseRe * real - inverseIm * imaginary,
                    inverseRe * imaginary + inverseIm * real
                );
                work[i] = result;
                x[columnAt[i]] = result;
            }
        }
    }

    /// <summary>Solves A' x = b (transposed, not conjugated) in every lane.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void SolveComplexTransposed(
        double* values,
        double* inverse,
        ComplexLanes* b,
        ComplexLanes* x,
        ComplexLanes* work
    )
    {
        fixed (
            int* rowStart = _rowStart,
                pivot = _pivot,
                column = _column,
                rowAt = _rowAt,
                columnAt = _columnAt
        )
        {
            for (var i = 0; i < Size; i++)
            {
                work[i] = b[columnAt[i]];
            }
            for (var i = 0; i < Size; i++)
            {
                var z = work[i];
                // Right-hand sides are mostly zeros, so the first steps have nothing to pass on.
                if (z.Real == Lanes.Zero && z.Imaginary == Lanes.Zero)
                {
                    continue;
                }
                var (inverseRe, inverseIm) = (inverse[2 * i], inverse[2 * i + 1]);
                z = new(
                    inverseRe * z.Real - inverseIm * z.Imaginary,
                    inverseRe * z.Imaginary + inverseIm * z.Real
                );
                work[i] = z;
                PassOn(values, pivot[i] + 1, rowStart[i + 1], column, z, work);
            }
            for (var i = Size - 1; i >= 0; i--)
            {
                var z = work[i];
                x[rowAt[i]] = z;
                PassOn(values, rowStart[i], pivot[i], column, z, work);
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void PassOn(
        double* values,
        int from,
        int to,
        int* column,
        ComplexLanes z,
        ComplexLanes* work
    )
    {
        for (var slot = from; slot < to; slot++)
        {
            var (re, im) = (values[2 * slot], values[2 * slot + 1]);
            var other = work + column[slot];
            *other = new(
                other->Real - (re * z.Real - im * z.Imaginary),
                other->Imaginary - (re * z.Imaginary + im * z.Real)
            );
        }
    }

    private static int* EliminateComplexRow(
        double* values,
        double* inverse,
        int from,
        int to,
        int* rowStart,
        int* pivot,
        int* column,
        int* target
    )
    {
        for (var slot = from; slot < to; slot++)
        {
            var k = column[slot];
            var (re, im) = (values[2 * slot], values[2 * slot + 1]);
            var (inverseRe, inverseIm) = (inverse[2 * k], inverse[2 * k + 1]);
            (re, im) = (re * inverseRe - im * inverseIm, re * inverseIm + im * inverseRe);
            values[2 * slot] = re;
            values[2 * slot + 1] = im;
            var last = values + 2 * rowStart[k + 1];
            for (var u = values + 2 * (pivot[k] + 1); u < last; u += 2)
            {
                var to2 = values + 2 * *target++;
                to2[0] -= re * u[0] - im * u[1];
                to2[1] -= re * u[1] + im * u[0];
            }
        }
        return target;
    }

    private static bool Invert(double* pivot, double* inverse)
    {
        var (re, im) = (pivot[0], pivot[1]);
        var square = re * re + im * im;
        inverse[0] = re / square;
        inverse[1] = -im / square;
        return square >= SmallestPivot * SmallestPivot;
    }
}

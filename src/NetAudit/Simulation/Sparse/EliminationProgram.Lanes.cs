using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation.Sparse;

// The same solves for eight right-hand sides at once, one a lane.
internal sealed unsafe partial class EliminationProgram
{
    /// <summary>Solves A x = b in every lane. <paramref name="work"/> holds Size entries.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Solve(double* values, double* inverse, Lanes* b, Lanes* x, Lanes* work)
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
                var sum = b[rowAt[i]];
                var last = pivot[i];
                for (var slot = rowStart[i]; slot < last; slot++)
                {
                    sum -= values[slot] * work[column[slot]];
                }
                work[i] = sum;
            }
            for (var i = Size - 1; i >= 0; i--)
            {
                var sum = work[i];
                var last = rowStart[i + 1];
                for (var slot = pivot[i] + 1; slot < last; slot++)
                {
                    sum -= values[slot] * work[column[slot]];
                }
                sum *= inverse[i];
                work[i] = sum;
                x[columnAt[i]] = sum;
            }
        }
    }

    /// <summary>Solves A' x = b in every lane.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void SolveTransposed(double* values, double* inverse, Lanes* b, Lanes* x, Lanes* work)
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
                if (z == Lanes.Zero)
                {
                    continue;
                }
                z *= inverse[i];
                work[i] = z;
                var last = rowStart[i + 1];
                for (var slot = pivot[i] + 1; slot < last; slot++)
                {
                    work[column[slot]] -= values[slot] * z;
                }
            }
            for (var i = Size - 1; i >= 0; i--)
            {
                var z = work[i];
                x[rowAt[i]] = z;
                var last = pivot[i];
                for (var slot = rowStart[i]; slot < last; slot++)
                {
                    work[column[slot]] -= values[slot] * z;
                }
            }
        }
    }
}

using System.Diagnostics;

namespace NetAudit.Simulation.Sparse;

/// <summary>
/// LU factorisation and solution laid out once for a pattern and a pivot order: no search, no branch on structure, every index known.
/// Values lie row by row in elimination order: the row's multipliers, its pivot, the rest. Row i is finished with the rows before it
/// (Doolittle by rows); for each multiplier the targets of its updates are listed in a row. Immutable, thread-safe; the values are the
/// caller's. Steps before <see cref="StaticCount"/> and the updates they cause belong to <see cref="FactorStatic"/>.
/// </summary>
internal sealed unsafe partial class EliminationProgram
{
    private readonly int[] _rowStart;
    private readonly int[] _dynamicStart;
    private readonly int[] _pivot;
    private readonly int[] _column;
    private readonly int[] _staticTargets;
    private readonly int[] _dynamicTargets;
    private readonly int[] _rowAt;
    private readonly int[] _columnAt;
    private readonly int[] _stepOfRow;
    private readonly int[] _stepOfColumn;

    public EliminationProgram(SparsePattern pattern, PivotOrder order)
    {
        Size = pattern.Size;
        StaticCount = order.StaticCount;
        _rowAt = order.Rows;
        _columnAt = order.Columns;
        _stepOfRow = Invert(order.Rows);
        _stepOfColumn = Invert(order.Columns);
        _rowStart = new int[Size + 1];
        _dynamicStart = new int[Size];
        _pivot = new int[Size];
        _column = FillRows(pattern);
        (_staticTargets, _dynamicTargets) = ListTargets();
    }

    public int Size { get; }

    /// <summary>The column eliminated at each step.</summary>
    public ReadOnlySpan<int> Columns => _columnAt;

    /// <summary>Steps whose rows and columns do not change between Newton iterations.</summary>
    public int StaticCount { get; }

    /// <summary>Number of values, fill included.</summary>
    public int ValueCount => _column.Length;

    /// <summary>Multiplications in one full factorisation.</summary>
    public int UpdateCount => _staticTargets.Length + _dynamicTargets.Length;

    /// <summary>Where the entry lies among the values; the entry must be in the pattern (or its fill).</summary>
    public int Slot(int row, int column)
    {
        var i = _stepOfRow[row];
        var slot = Array.BinarySearch(
            _column,
            _rowStart[i],
            _rowStart[i + 1] - _rowStart[i],
            _stepOfColumn[column]
        );
        Debug.Assert(slot >= 0, "entry outside the pattern");
        return slot;
    }

    /// <summary>Eliminates with the static steps, in all rows. Returns false at a pivot that is zero or not a number.</summary>
    public bool FactorStatic(double* values, double* inverse)
    {
        fixed (
            int* rowStart = _rowStart,
                dynamicStart = _dynamicStart,
                pivot = _pivot,
                column = _column,
                staticTargets = _staticTargets
        )
        {
            var target = staticTargets;
            var ok = true;
            for (var i = 0; i < Size; i++)
            {
                target = EliminateRow(
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
                    var p = values[pivot[i]];
                    inverse[i] = 1 / p;
                    ok &= Math.Abs(p) >= SmallestPivot;
                }
            }
            return ok;
        }
    }

    /// <summary>Eliminates with the remaining steps, after <see cref="FactorStatic"/>.</summary>
    public bool FactorDynamic(double* values, double* inverse)
    {
        fixed (
            int* rowStart = _rowStart,
                dynamicStart = _dynamicStart,
                pivot = _pivot,
                column = _column,
                dynamicTargets = _dynamicTargets
        )
        {
            var target = dynamicTargets;
            var ok = true;
            for (var i = StaticCount; i < Size; i++)
            {
                target = EliminateRow(
                    values,
                    inverse,
                    dynamicStart[i],
                    pivot[i],
                    rowStart,
                    pivot,
                    column,
                    target
                );
                var p = values[pivot[i]];
                inverse[i] = 1 / p;
                ok &= Math.Abs(p) >= SmallestPivot;
            }
            return ok;
        }
    }

    /// <summary>Solves A x = b. <paramref name="work"/> holds Size numbers; b and x may be the same.</summary>
    public void Solve(double* values, double* inverse, double* b, double* x, double* work)
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
                for (var slot = rowStart[i]; slot < pivot[i]; slot++)
                {
                    sum -= values[slot] * work[column[slot]];
                }
                work[i] = sum;
            }
            for (var i = Size - 1; i >= 0; i--)
            {
                var sum = work[i];
                for (var slot = pivot[i] + 1; slot < rowStart[i + 1]; slot++)
                {
                    sum -= values[slot] * work[column[slot]];
                }
                work[i] = sum * inverse[i];
            }
            for (var i = 0; i < Size; i++)
            {
                x[columnAt[i]] = work[i];
            }
        }
    }

    // Smaller than any conductance that gmin leaves, so that only a structural accident falls below it.
    private const double SmallestPivot = 1e-16;

    private static int* EliminateRow(
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
            var multiplier = values[slot] * inverse[k];
            values[slot] = multiplier;
            var last = values + rowStart[k + 1];
            for (var u = values + pivot[k] + 1; u < last; u++)
            {
                values[*target++] -= multiplier * *u;
            }
        }
        return target;
    }

    // Symbolic elimination: the columns of each row of L + U, in steps. Rows are merged through a sorted linked list.
    private int[] FillRows(SparsePattern pattern)
    {
        var columns = new List<int>(4 * pattern.Columns.Length);
        var next = new int[Size + 1];
        for (var i = 0; i < Size; i++)
        {
            // The list runs from Size (its head) back to Size.
            next[Size] = Size;
            Insert(Size, i);
            foreach (var column in pattern.Row(_rowAt[i]))
            {
                Insert(Size, _stepOfColumn[column]);
            }
            for (var k = next[Size]; k < i; k = next[k])
            {
                var at = k;
                for (var slot = _pivot[k] + 1; slot < _rowStart[k + 1]; slot++)
                {
                    at = Insert(at, columns[slot]);
                }
            }
            _dynamicStart[i] = -1;
            for (var k = next[Size]; k < Size; k = next[k])
            {
                if (k == i)
                {
                    _pivot[i] = columns.Count;
                }
                if (_dynamicStart[i] < 0 && (k >= StaticCount || k >= i))
                {
                    _dynamicStart[i] = columns.Count;
                }
                columns.Add(k);
            }
            _rowStart[i + 1] = columns.Count;
        }
        return [.. columns];

        int Insert(int after, int item)
        {
            while (next[after] < item)
            {
                after = next[after];
            }
            if (next[after] != item)
            {
                next[item] = next[after];
                next[after] = item;
            }
            return item;
        }
    }

    private (int[] Static, int[] Dynamic) ListTargets()
    {
        var statics = new List<int>();
        var dynamics = new List<int>();
        var slotOf = new int[Size];
        for (var i = 0; i < Size; i++)
        {
            for (var slot = _rowStart[i]; slot < _rowStart[i + 1]; slot++)
            {
                slotOf[_column[slot]] = slot;
            }
            for (var slot = _rowStart[i]; slot < _pivot[i]; slot++)
            {
                var list = slot < _dynamicStart[i] ? statics : dynamics;
                var k = _column[slot];
                for (var u = _pivot[k] + 1; u < _rowStart[k + 1]; u++)
                {
                    list.Add(slotOf[_column[u]]);
                }
            }
        }
        return ([.. statics], [.. dynamics]);
    }

    private static int[] Invert(int[] permutation)
    {
        var inverse = new int[permutation.Length];
        for (var i = 0; i < permutation.Length; i++)
        {
            inverse[permutation[i]] = i;
        }
        return inverse;
    }
}

namespace NetAudit.Simulation.Sparse;

/// <summary>Where a square matrix may hold something other than zero: row by row, columns ascending. Immutable.</summary>
internal sealed class SparsePattern
{
    private SparsePattern(int size, int[] rowStart, int[] columns)
    {
        Size = size;
        RowStart = rowStart;
        Columns = columns;
    }

    public int Size { get; }

    /// <summary>Size + 1 entries: where each row begins in <see cref="Columns"/>.</summary>
    public int[] RowStart { get; }

    public int[] Columns { get; }

    /// <summary>From entries in any order, with repetitions; each is row * 2^32 + column. The span is sorted in place.</summary>
    public static SparsePattern FromEntries(int size, Span<long> entries)
    {
        entries.Sort();
        var columns = new List<int>(entries.Length);
        var rowStart = new int[size + 1];
        var previous = -1L;
        foreach (var entry in entries)
        {
            if (entry == previous)
            {
                continue;
            }
            previous = entry;
            rowStart[(int)(entry >> 32) + 1]++;
            columns.Add((int)entry);
        }
        for (var i = 0; i < size; i++)
        {
            rowStart[i + 1] += rowStart[i];
        }
        return new SparsePattern(size, rowStart, [.. columns]);
    }

    public ReadOnlySpan<int> Row(int row) =>
        Columns.AsSpan(RowStart[row], RowStart[row + 1] - RowStart[row]);

    public static long Entry(int row, int column) => ((long)row << 32) | (uint)column;
}

using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.Compilation;

/// <summary>
/// Pairs each column with the row whose entry becomes its pivot. A node's own equation has a conductance there; the equation of a voltage
/// source has a zero on its diagonal, so it takes the column of one of its nodes, whose equation takes the column of the source's
/// current: both entries are one. Found as a matching by augmenting paths.
/// </summary>
internal static class PivotPairing
{
    public static int[] Pair(SparsePattern pattern, List<LinearStamp> linear, Port[] ports)
    {
        var n = pattern.Size;
        var rowOf = new int[n];
        for (var i = 0; i < n; i++)
        {
            rowOf[i] = i;
        }
        // Entries of one between a branch and a node, by row; branches are the rows marked on their diagonal.
        var unit = new List<int>?[n];
        var branches = new List<int>();
        foreach (var stamp in linear)
        {
            var (row, column) = (ports[stamp.RowPort].Row, ports[stamp.ColumnPort].Column);
            if (row >= n || column >= n)
            {
                continue;
            }
            if (stamp.IsBranchDiagonal)
            {
                branches.Add(row);
                rowOf[row] = -1;
            }
            else if (Math.Abs(stamp.Constant) == 1 && row != column)
            {
                (unit[row] ??= []).Add(column);
            }
        }
        var visited = new int[n];
        for (var b = 0; b < branches.Count; b++)
        {
            Augment(branches[b], b + 1);
        }
        Complete(rowOf);
        return rowOf;

        bool Augment(int row, int stamp)
        {
            foreach (var column in unit[row] ?? [])
            {
                if (rowOf[column] < 0)
                {
                    rowOf[column] = row;
                    return true;
                }
            }
            foreach (var column in unit[row] ?? [])
            {
                if (visited[column] == stamp)
                {
                    continue;
                }
                visited[column] = stamp;
                if (Augment(rowOf[column], stamp))
                {
                    rowOf[column] = row;
                    return true;
                }
            }
            return false;
        }
    }

    // Rows and columns that found no partner: with their own number where possible.
    private static void Complete(int[] rowOf)
    {
        var used = new bool[rowOf.Length];
        foreach (var row in rowOf)
        {
            if (row >= 0)
            {
                used[row] = true;
            }
        }
        for (var column = 0; column < rowOf.Length; column++)
        {
            if (rowOf[column] < 0 && !used[column])
            {
                rowOf[column] = column;
                used[column] = true;
            }
        }
        var free = 0;
        for (var column = 0; column < rowOf.Length; column++)
        {
            if (rowOf[column] >= 0)
            {
                continue;
            }
            while (used[free])
            {
                free++;
            }
            rowOf[column] = free;
            used[free] = true;
        }
    }
}

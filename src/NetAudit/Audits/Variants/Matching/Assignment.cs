namespace NetAudit.Audits.Variants.Matching;

/// <summary>The assignment problem: each row to at most one column so that the sum of scores is largest.</summary>
internal static class Assignment
{
    /// <summary>Solves with shortest augmenting paths and potentials (the Hungarian method), in rows squared times columns.</summary>
    /// <param name="scores">[rows, columns]; what is not above 0 is left unassigned.</param>
    /// <returns>The column of each row, or -1.</returns>
    public static int[] Solve(double[,] scores)
    {
        var (rows, columns) = (scores.GetLength(0), scores.GetLength(1));
        // A column of its own for each row stands for "left alone" at score 0.
        var width = columns + rows;
        var rowPotential = new double[rows + 1];
        var columnPotential = new double[width + 1];
        var rowOf = new int[width + 1];
        var previous = new int[width + 1];
        for (var row = 1; row <= rows; row++)
        {
            rowOf[0] = row;
            var at = 0;
            var least = new double[width + 1];
            Array.Fill(least, double.PositiveInfinity);
            var done = new bool[width + 1];
            do
            {
                done[at] = true;
                var (current, delta, next) = (rowOf[at], double.PositiveInfinity, 0);
                for (var column = 1; column <= width; column++)
                {
                    if (done[column])
                    {
                        continue;
                    }
                    var cost =
                        Cost(scores, current - 1, column - 1)
                        - rowPotential[current]
                        - columnPotential[column];
                    if (cost < least[column])
                    {
                        (least[column], previous[column]) = (cost, at);
                    }
                    if (least[column] < delta)
                    {
                        (delta, next) = (least[column], column);
                    }
                }
                for (var column = 0; column <= width; column++)
                {
                    if (done[column])
                    {
                        rowPotential[rowOf[column]] += delta;
                        columnPotential[column] -= delta;
                    }
                    else
                    {
                        least[column] -= delta;
                    }
                }
                at = next;
            } while (rowOf[at] != 0);
            for (; at != 0; at = previous[at])
            {
                rowOf[at] = rowOf[previous[at]];
            }
        }
        var assigned = new int[rows];
        Array.Fill(assigned, -1);
        for (var column = 1; column <= columns; column++)
        {
            if (rowOf[column] > 0 && scores[rowOf[column] - 1, column - 1] > 0)
            {
                assigned[rowOf[column] - 1] = column - 1;
            }
        }
        return assigned;
    }

    private static double Cost(double[,] scores, int row, int column) =>
        column < scores.GetLength(1) ? -Math.Max(0, scores[row, column]) : 0;
}

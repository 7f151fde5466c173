namespace NetAudit.Simulation.Sparse;

/// <summary>
/// Fill-reducing elimination order: at each step the unknown with the fewest neighbours in what is left (minimum degree; Tinney and
/// Walker, Proc. IEEE 55, 1967, scheme 2). Unknowns marked static go first as long as they have few neighbours, so that their part of
/// the work is done once per change of values. Growth is near linear for circuits, whose unknowns have a handful of neighbours each.
/// </summary>
internal static class MinimumDegree
{
    // Eliminating an unknown of degree d leaves a clique of its d neighbours: up to three the static part stays smaller than what it saves.
    private const int MostStaticDegree = 3;

    /// <param name="pattern">Pattern of the matrix.</param>
    /// <param name="rowOf">For each column the row paired with it, whose entry in that column becomes the pivot.</param>
    /// <param name="isStatic">For each column whether its row and column hold static values only.</param>
    public static PivotOrder Order(SparsePattern pattern, int[] rowOf, bool[] isStatic)
    {
        var n = pattern.Size;
        var neighbours = Neighbours(pattern, rowOf);
        var queue = new DegreeBuckets(n);
        var order = new int[n];
        var count = 0;
        for (var i = 0; i < n; i++)
        {
            if (isStatic[i])
            {
                queue.Put(i, neighbours[i].Count);
            }
        }
        var done = new bool[n];
        var mark = new int[n];
        var stamp = 0;
        while (queue.TryTake(MostStaticDegree, out var next))
        {
            Eliminate(next, onlyStatic: true);
        }
        var staticCount = count;
        for (var i = 0; i < n; i++)
        {
            if (!done[i])
            {
                queue.Put(i, neighbours[i].Count);
            }
        }
        while (queue.TryTake(n, out var next))
        {
            Eliminate(next, onlyStatic: false);
        }
        var rows = new int[n];
        for (var i = 0; i < n; i++)
        {
            rows[i] = rowOf[order[i]];
        }
        return new PivotOrder(rows, order, staticCount);

        void Eliminate(int pivot, bool onlyStatic)
        {
            order[count++] = pivot;
            done[pivot] = true;
            var clique = neighbours[pivot];
            foreach (var a in clique)
            {
                var list = neighbours[a];
                stamp++;
                mark[a] = stamp;
                var kept = 0;
                for (var i = 0; i < list.Count; i++)
                {
                    var b = list[i];
                    if (b != pivot)
                    {
                        mark[b] = stamp;
                        list[kept++] = b;
                    }
                }
                list.RemoveRange(kept, list.Count - kept);
                foreach (var b in clique)
                {
                    if (mark[b] != stamp)
                    {
                        list.Add(b);
                    }
                }
                if (!onlyStatic || isStatic[a])
                {
                    queue.Put(a, list.Count);
                }
            }
            clique.Clear();
        }
    }

    // Neighbours by column number: entry (row paired with i, j) joins i and j.
    private static List<int>[] Neighbours(SparsePattern pattern, int[] rowOf)
    {
        var n = pattern.Size;
        var columnOf = new int[n];
        for (var column = 0; column < n; column++)
        {
            columnOf[rowOf[column]] = column;
        }
        var neighbours = new List<int>[n];
        for (var i = 0; i < n; i++)
        {
            neighbours[i] = [];
        }
        for (var row = 0; row < n; row++)
        {
            foreach (var column in pattern.Row(row))
            {
                var i = columnOf[row];
                if (i != column)
                {
                    neighbours[i].Add(column);
                    neighbours[column].Add(i);
                }
            }
        }
        foreach (var list in neighbours)
        {
            list.Sort();
            var kept = 0;
            for (var i = 0; i < list.Count; i++)
            {
                if (i == 0 || list[i] != list[i - 1])
                {
                    list[kept++] = list[i];
                }
            }
            list.RemoveRange(kept, list.Count - kept);
        }
        return neighbours;
    }
}

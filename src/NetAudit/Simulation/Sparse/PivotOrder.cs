namespace NetAudit.Simulation.Sparse;

/// <summary>
/// Which row and column is eliminated at each step. The first <paramref name="StaticCount"/> steps touch only entries whose values do not
/// change between Newton iterations.
/// </summary>
internal sealed record PivotOrder(int[] Rows, int[] Columns, int StaticCount);

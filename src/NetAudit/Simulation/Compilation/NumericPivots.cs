using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.Compilation;

/// <summary>
/// Pivots by value, for a circuit whose structural pivots cancel: a source that sees its own output with a gain of exactly one. Columns
/// keep their order; each takes the row whose entry is largest against its row, as the elimination has left it.
/// </summary>
internal static class NumericPivots
{
    /// <summary>A dense elimination of more unknowns takes too long to be worth a try.</summary>
    private const int MostUnknowns = 600;

    /// <summary>An entry this small against its row counts as cancelled.</summary>
    private const double Least = 1e-12;

    /// <summary>An order that can be eliminated, or null when the structural one can, or none can.</summary>
    public static PivotOrder? Find(CompiledCircuit compiled)
    {
        if (compiled.Topology.UnknownCount > MostUnknowns)
        {
            return null;
        }
        var workspace = new Workspace(compiled);
        return workspace.Solve([]).Converged || workspace.DenseJacobian() is not { } matrix
            ? null
            : Find(matrix, compiled.Topology.Program.Columns);
    }

    private static PivotOrder? Find(double[,] matrix, ReadOnlySpan<int> columns)
    {
        var n = columns.Length;
        var scale = new double[n];
        for (var row = 0; row < n; row++)
        {
            for (var column = 0; column < n; column++)
            {
                scale[row] = Math.Max(scale[row], Math.Abs(matrix[row, column]));
            }
        }
        var rows = new int[n];
        var used = new bool[n];
        for (var step = 0; step < n; step++)
        {
            var column = columns[step];
            var pivot = -1;
            var best = Least;
            for (var row = 0; row < n; row++)
            {
                var size = used[row] ? 0 : Math.Abs(matrix[row, column]) / scale[row];
                if (size > best)
                {
                    (pivot, best) = (row, size);
                }
            }
            if (pivot < 0)
            {
                return null;
            }
            rows[step] = pivot;
            used[pivot] = true;
            for (var row = 0; row < n; row++)
            {
                var factor = used[row] ? 0 : matrix[row, column] / matrix[pivot, column];
                for (var k = step; factor != 0 && k < n; k++)
                {
                    matrix[row, columns[k]] -= factor * matrix[pivot, columns[k]];
                }
            }
        }
        // Every step after the values are known: what may cancel at one point must not be eliminated once for all.
        return new(rows, columns.ToArray(), StaticCount: 0);
    }
}

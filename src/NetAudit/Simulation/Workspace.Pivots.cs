namespace NetAudit.Simulation;

// The Jacobian as a dense matrix, to choose pivots by its values.
public sealed unsafe partial class Workspace
{
    /// <summary>The Jacobian at the point last evaluated, [row, column]; null when it cannot be evaluated there.</summary>
    internal double[,]? DenseJacobian()
    {
        if (!EvaluateStart())
        {
            return null;
        }
        StampStatic(_m.Static);
        _stale = true;
        fixed (int* slots = _links.PartialSlots)
        {
            for (var i = 0; i < _t.Partials.Length; i++)
            {
                _m.Static[slots[2 * i]] += _m.Partials[i];
                _m.Static[slots[2 * i + 1]] -= _m.Partials[i];
            }
        }
        var n = _t.UnknownCount;
        var matrix = new double[n, n];
        for (var row = 0; row < n; row++)
        {
            foreach (var column in _t.Pattern.Row(row))
            {
                matrix[row, column] = _m.Static[_program.Slot(row, column)];
            }
        }
        return matrix;
    }
}

using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

// Linear solves with the bordered Jacobian
//     | A  B |
//     | C  D |
// where A is the healthy circuit's sparse matrix and B, C, D belong to the k edits in place: one sparse solve, and a dense system of
// order k with the Schur complement D - C inv(A) B.
public sealed unsafe partial class Workspace
{
    private readonly int[] _cornerPivot = new int[Topology.MostPlaces];

    private double* EditColumnsOf(double* values) => values + _program.ValueCount + 1;

    private double* EditRowsOf(double* values) =>
        values + _program.ValueCount + 1 + Topology.MostPlaces * _t.UnknownCount;

    private double* CornerOf(double* values) =>
        values + _program.ValueCount + 1 + 2 * Topology.MostPlaces * _t.UnknownCount;

    private bool FactorEdits()
    {
        const int Stride = Topology.MostPlaces;
        var n = _t.UnknownCount;
        var lu = _m.Lu;
        var corner = _m.Corner;
        for (var k = 0; k < _places; k++)
        {
            _program.Solve(
                lu,
                _m.Inverse,
                EditColumnsOf(lu) + k * n,
                _m.EditColumns + k * n,
                _m.Work
            );
        }
        for (var i = 0; i < _places; i++)
        {
            var row = EditRowsOf(lu) + i * n;
            for (var k = 0; k < _places; k++)
            {
                corner[i * Stride + k] =
                    CornerOf(lu)[i * Stride + k] - Dot(row, _m.EditColumns + k * n, n);
            }
        }
        return FactorCorner(corner);
    }

    // Dense LU with row exchanges.
    private bool FactorCorner(double* corner)
    {
        const int Stride = Topology.MostPlaces;
        for (var k = 0; k < _places; k++)
        {
            var pivot = k;
            for (var i = k + 1; i < _places; i++)
            {
                if (Math.Abs(corner[i * Stride + k]) > Math.Abs(corner[pivot * Stride + k]))
                {
                    pivot = i;
                }
            }
            _cornerPivot[k] = pivot;
            if (!(Math.Abs(corner[pivot * Stride + k]) > 0))
            {
                return false;
            }
            for (var j = 0; j < _places && pivot != k; j++)
            {
                (corner[k * Stride + j], corner[pivot * Stride + j]) = (
                    corner[pivot * Stride + j],
                    corner[k * Stride + j]
                );
            }
            for (var i = k + 1; i < _places; i++)
            {
                var multiplier = corner[i * Stride + k] / corner[k * Stride + k];
                corner[i * Stride + k] = multiplier;
                for (var j = k + 1; j < _places; j++)
                {
                    corner[i * Stride + j] -= multiplier * corner[k * Stride + j];
                }
            }
        }
        return true;
    }

    /// <summary>x = inv(J) b; both by index, entries outside the matrix are left alone. b and x differ.</summary>
    private void SolveLinear(double* b, double* x)
    {
        var n = _t.UnknownCount;
        _program.Solve(_m.Lu, _m.Inverse, b, x, _m.Work);
        if (_places == 0)
        {
            return;
        }
        const int Stride = Topology.MostPlaces;
        var y = x + _t.FirstEdit;
        for (var i = 0; i < _places; i++)
        {
            y[i] = b[_t.FirstEdit + i] - Dot(EditRowsOf(_m.Lu) + i * n, x, n);
        }
        // Row exchanges were applied to whole rows, multipliers included, so they all come first.
        for (var i = 0; i < _places; i++)
        {
            (y[i], y[_cornerPivot[i]]) = (y[_cornerPivot[i]], y[i]);
        }
        for (var i = 0; i < _places; i++)
        {
            for (var j = 0; j < i; j++)
            {
                y[i] -= _m.Corner[i * Stride + j] * y[j];
            }
        }
        for (var i = _places - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < _places; j++)
            {
                y[i] -= _m.Corner[i * Stride + j] * y[j];
            }
            y[i] /= _m.Corner[i * Stride + i];
        }
        for (var k = 0; k < _places; k++)
        {
            var column = _m.EditColumns + k * n;
            for (var i = 0; i < n; i++)
            {
                x[i] -= column[i] * y[k];
            }
        }
    }

    private static double Dot(double* a, double* b, int count)
    {
        var sum = 0.0;
        for (var i = 0; i < count; i++)
        {
            sum += a[i] * b[i];
        }
        return sum;
    }
}

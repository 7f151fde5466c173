using System.Runtime.CompilerServices;
using NetAudit.Simulation.Compilation;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// The bordered solves of Workspace.Linear.cs for eight right-hand sides at once, one a lane.
public sealed unsafe partial class Workspace
{
    private readonly LaneMemory _laneWork = new();

    private Lanes* WorkLanes => _laneWork.Start;

    private Lanes* RightLanes => _laneWork.Start + _t.IndexCount;

    private Lanes* ShiftLanes => _laneWork.Start + 2 * _t.IndexCount;

    private Lanes* LoadedLanes => _laneWork.Start + 3 * _t.IndexCount;

    private void ReserveLanes() => _laneWork.Reserve(4 * _t.IndexCount);

    /// <summary>x = inv(J) b; both by index, entries outside the matrix are left alone. b and x differ.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void SolveLinear(Lanes* b, Lanes* x)
    {
        const int Stride = Topology.MostPlaces;
        var n = _t.UnknownCount;
        _program.Solve(_m.Lu, _m.Inverse, b, x, WorkLanes);
        if (_places == 0)
        {
            return;
        }
        var corner = _m.Corner;
        var y = x + _t.FirstEdit;
        for (var i = 0; i < _places; i++)
        {
            y[i] = b[_t.FirstEdit + i] - Dot(EditRowsOf(_m.Lu) + i * n, x, n);
        }
        for (var i = 0; i < _places; i++)
        {
            (y[i], y[_cornerPivot[i]]) = (y[_cornerPivot[i]], y[i]);
        }
        for (var i = 0; i < _places; i++)
        {
            for (var j = 0; j < i; j++)
            {
                y[i] -= corner[i * Stride + j] * y[j];
            }
        }
        for (var i = _places - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < _places; j++)
            {
                y[i] -= corner[i * Stride + j] * y[j];
            }
            y[i] /= corner[i * Stride + i];
        }
        for (var k = 0; k < _places; k++)
        {
            var column = _m.EditColumns + k * n;
            var amount = y[k];
            for (var i = 0; i < n; i++)
            {
                x[i] -= column[i] * amount;
            }
        }
    }

    /// <summary>x = inv(J') b with the same factors. b and x differ; b is overwritten.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void SolveTransposed(Lanes* b, Lanes* x)
    {
        const int Stride = Topology.MostPlaces;
        var n = _t.UnknownCount;
        var corner = _m.Corner;
        var z = b + _t.FirstEdit;
        for (var k = 0; k < _places; k++)
        {
            z[k] -= Dot(_m.EditColumns + k * n, b, n);
        }
        for (var i = 0; i < _places; i++)
        {
            for (var j = 0; j < i; j++)
            {
                z[i] -= corner[j * Stride + i] * z[j];
            }
            z[i] /= corner[i * Stride + i];
        }
        for (var i = _places - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < _places; j++)
            {
                z[i] -= corner[j * Stride + i] * z[j];
            }
        }
        for (var i = _places - 1; i >= 0; i--)
        {
            (z[i], z[_cornerPivot[i]]) = (z[_cornerPivot[i]], z[i]);
        }
        for (var k = 0; k < _places; k++)
        {
            var row = EditRowsOf(_m.Lu) + k * n;
            var amount = z[k];
            for (var i = 0; i < n; i++)
            {
                b[i] -= row[i] * amount;
            }
        }
        _program.SolveTransposed(_m.Lu, _m.Inverse, b, x, WorkLanes);
        for (var k = 0; k < _places; k++)
        {
            x[_t.FirstEdit + k] = z[k];
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static Lanes Dot(double* a, Lanes* b, int count)
    {
        var sum = Lanes.Zero;
        for (var i = 0; i < count; i++)
        {
            sum += a[i] * b[i];
        }
        return sum;
    }
}

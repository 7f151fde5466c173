using System.Numerics;
using System.Runtime.CompilerServices;
using NetAudit.Simulation.Compilation;
using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.SmallSignal;

/// <summary>
/// The complex matrix of a linearised circuit at one frequency, bordered by the places of edits and of test signals fed in,
/// <code>
///     | A  B |
///     | C  D |
/// </code>
/// with its factors: those of A, and of the Schur complement D - C inv(A) B. Values lie as <see cref="Links.Slot"/> says, in pairs of real
/// and imaginary part.
/// </summary>
internal sealed unsafe class LinearisedMatrix
{
    private const int Stride = Topology.MostPlaces;

    private readonly EliminationProgram _program;
    private readonly int _n;
    private readonly int _firstEdit;
    private readonly double[] _block;
    private readonly double* _inverse;
    private readonly Complex* _work;
    private readonly Complex* _solvedColumns;
    private readonly Complex[] _corner = new Complex[Stride * Stride];
    private readonly int[] _cornerPivot = new int[Stride];
    private readonly LaneMemory _workLanes = new();
    private int _places;

    public LinearisedMatrix(Topology t)
    {
        _program = t.Program;
        _n = t.UnknownCount;
        _firstEdit = t.FirstEdit;
        var values = Links.ValueCount(_program);
        _block = GC.AllocateArray<double>(2 * (values + _n + _n + Stride * _n), pinned: true);
        fixed (double* start = _block)
        {
            Values = start;
            _inverse = Values + 2 * values;
            _work = (Complex*)(_inverse + 2 * _n);
            _solvedColumns = _work + _n;
        }
        _workLanes.Reserve(2 * _n);
    }

    /// <summary>The matrix, then its factors.</summary>
    public double* Values { get; }

    private Complex* Column(int place) => (Complex*)Values + _program.ValueCount + 1 + place * _n;

    private Complex* Row(int place) => Column(Stride + place);

    private ref Complex Corner(int row, int column) =>
        ref (Column(2 * Stride))[row * Stride + column];

    /// <summary>Loads real values, and zeros beside them, of which only those of the sparse part and of the places in use count.</summary>
    public void Load(double* real, int places)
    {
        _places = places;
        var sparse = _program.ValueCount + 1;
        LoadRange(real, 0, sparse + places * _n);
        if (places > 0)
        {
            LoadRange(real, sparse + Stride * _n, places * _n);
            LoadRange(real, sparse + 2 * Stride * _n, Stride * Stride);
        }
    }

    /// <summary>Factors in place. False when the circuit has no unique solution at this frequency.</summary>
    public bool Factor()
    {
        var ok = _program.FactorComplex(Values, _inverse);
        for (var k = 0; k < _places; k++)
        {
            _program.SolveComplex(Values, _inverse, Column(k), _solvedColumns + k * _n, _work);
        }
        for (var i = 0; i < _places; i++)
        {
            for (var k = 0; k < _places; k++)
            {
                _corner[i * Stride + k] = Corner(i, k) - Dot(Row(i), _solvedColumns + k * _n);
            }
        }
        return ok && FactorCorner();
    }

    /// <summary>x = inv(Y) b; both by index, entries outside the matrix are left alone. b and x differ.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Solve(ComplexLanes* b, ComplexLanes* x)
    {
        _program.SolveComplex(Values, _inverse, b, x, (ComplexLanes*)_workLanes.Start);
        if (_places == 0)
        {
            return;
        }
        var y = x + _firstEdit;
        for (var i = 0; i < _places; i++)
        {
            y[i] = b[_firstEdit + i] - Dot(Row(i), x);
        }
        for (var i = 0; i < _places; i++)
        {
            (y[i], y[_cornerPivot[i]]) = (y[_cornerPivot[i]], y[i]);
        }
        for (var i = 0; i < _places; i++)
        {
            for (var j = 0; j < i; j++)
            {
                y[i] -= Times(_corner[i * Stride + j], y[j]);
            }
        }
        for (var i = _places - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < _places; j++)
            {
                y[i] -= Times(_corner[i * Stride + j], y[j]);
            }
            y[i] = Times(1 / _corner[i * Stride + i], y[i]);
        }
        for (var k = 0; k < _places; k++)
        {
            Subtract(_solvedColumns + k * _n, y[k], x);
        }
    }

    /// <summary>x = inv(Y') b, transposed and not conjugated. b and x differ; b is overwritten.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void SolveTransposed(ComplexLanes* b, ComplexLanes* x)
    {
        var z = b + _firstEdit;
        for (var k = 0; k < _places; k++)
        {
            z[k] -= Dot(_solvedColumns + k * _n, b);
        }
        for (var i = 0; i < _places; i++)
        {
            for (var j = 0; j < i; j++)
            {
                z[i] -= Times(_corner[j * Stride + i], z[j]);
            }
            z[i] = Times(1 / _corner[i * Stride + i], z[i]);
        }
        for (var i = _places - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < _places; j++)
            {
                z[i] -= Times(_corner[j * Stride + i], z[j]);
            }
        }
        for (var i = _places - 1; i >= 0; i--)
        {
            (z[i], z[_cornerPivot[i]]) = (z[_cornerPivot[i]], z[i]);
        }
        for (var k = 0; k < _places; k++)
        {
            Subtract(Row(k), z[k], b);
        }
        _program.SolveComplexTransposed(Values, _inverse, b, x, (ComplexLanes*)_workLanes.Start);
        for (var k = 0; k < _places; k++)
        {
            x[_firstEdit + k] = z[k];
        }
    }

    private void LoadRange(double* real, int first, int count)
    {
        for (var i = first; i < first + count; i++)
        {
            Values[2 * i] = real[i];
            Values[2 * i + 1] = 0;
        }
    }

    // Dense LU with row exchanges, applied to whole rows.
    private bool FactorCorner()
    {
        for (var k = 0; k < _places; k++)
        {
            var pivot = k;
            for (var i = k + 1; i < _places; i++)
            {
                if (Size(_corner[i * Stride + k]) > Size(_corner[pivot * Stride + k]))
                {
                    pivot = i;
                }
            }
            _cornerPivot[k] = pivot;
            if (!(Size(_corner[pivot * Stride + k]) > 0))
            {
                return false;
            }
            for (var j = 0; j < _places && pivot != k; j++)
            {
                (_corner[k * Stride + j], _corner[pivot * Stride + j]) = (
                    _corner[pivot * Stride + j],
                    _corner[k * Stride + j]
                );
            }
            for (var i = k + 1; i < _places; i++)
            {
                var multiplier = _corner[i * Stride + k] / _corner[k * Stride + k];
                _corner[i * Stride + k] = multiplier;
                for (var j = k + 1; j < _places; j++)
                {
                    _corner[i * Stride + j] -= multiplier * _corner[k * Stride + j];
                }
            }
        }
        return true;
    }

    private static double Size(Complex value) => Math.Abs(value.Real) + Math.Abs(value.Imaginary);

    private Complex Dot(Complex* a, Complex* b)
    {
        var sum = Complex.Zero;
        for (var i = 0; i < _n; i++)
        {
            sum += a[i] * b[i];
        }
        return sum;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private ComplexLanes Dot(Complex* a, ComplexLanes* b)
    {
        var sum = default(ComplexLanes);
        for (var i = 0; i < _n; i++)
        {
            sum += Times(a[i], b[i]);
        }
        return sum;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Subtract(Complex* column, ComplexLanes amount, ComplexLanes* x)
    {
        for (var i = 0; i < _n; i++)
        {
            x[i] -= Times(column[i], amount);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static ComplexLanes Times(Complex factor, ComplexLanes a) =>
        new(
            factor.Real * a.Real - factor.Imaginary * a.Imaginary,
            factor.Real * a.Imaginary + factor.Imaginary * a.Real
        );
}

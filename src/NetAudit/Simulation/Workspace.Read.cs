namespace NetAudit.Simulation;

// Readings: what a meter of finite resistance shows, and how that depends on every parameter. A load g across nodes p, n adds g u u' to
// the Jacobian (u = +1 at p, -1 at n), so by Sherman and Morrison (Ann. Math. Stat. 21, 1950, p. 124) the loaded circuit's reading and
// adjoint follow from the unloaded factors; where the load moves the circuit far, the loaded equations are iterated to their solution.
public sealed unsafe partial class Workspace
{
    // Where the meter's own current moves the point by less than this, the circuit is linear enough.
    private const double SmallShift = 1e-2;
    private const double SmallShiftVolts = 2e-2;
    private const int MostLoadIterations = 30;

    private bool _readFactored;

    /// <summary>
    /// Readings of voltmeters, each alone in the circuit as last solved, with their derivatives.
    /// </summary>
    /// <param name="probes">The meters.</param>
    /// <param name="columns">What to differentiate by: a parameter's index, or Parameters.Length plus an edit's index.</param>
    /// <param name="readings">Volts, one a probe.</param>
    /// <param name="jacobian">d(reading)/d(value) in SI units, row by row: a row a probe. Exact for the loaded circuit.</param>
    public void Read(
        ReadOnlySpan<Probe> probes,
        ReadOnlySpan<int> columns,
        Span<double> readings,
        Span<double> jacobian
    )
    {
        PrepareRead();
        for (var p = 0; p < probes.Length; p++)
        {
            readings[p] = ReadOne(
                probes[p],
                columns,
                jacobian.Length == 0 ? default : jacobian.Slice(p * columns.Length, columns.Length)
            );
        }
    }

    /// <summary>
    /// Change of each reading per ampere injected into each node, of the circuit as last solved: [probes x nodes], row by row. Entries of
    /// nodes with a fixed voltage are 0.
    /// </summary>
    public void Adjoints(ReadOnlySpan<Probe> probes, Span<double> perNode)
    {
        PrepareRead();
        var nodes = _nodeRow.Length;
        for (var p = 0; p < probes.Length; p++)
        {
            var response = SolveAdjoint(probes[p]);
            var factor = 1 / (1 + Load(probes[p]) * response);
            for (var node = 0; node < nodes; node++)
            {
                perNode[p * nodes + node] = factor * _m.Adjoint[_nodeRow[node]];
            }
        }
    }

    // Factors of the Jacobian at the solution itself: the last iteration's are those of the point before.
    private void PrepareRead()
    {
        if (!_solved)
        {
            throw new InvalidOperationException("There is no operating point to read from.");
        }
        if (_readFactored)
        {
            return;
        }
        if (_stale)
        {
            throw new InvalidOperationException("Something was changed since the last solve.");
        }
        Factor();
        _readFactored = true;
        _responsesKnown = false;
    }

    private static double Load(in Probe probe) =>
        double.IsInfinity(probe.LoadOhms) ? 0 : 1 / probe.LoadOhms;

    // Adjoint of the unloaded reading, by row, in Adjoint; returns the resistance seen by the probe.
    private double SolveAdjoint(in Probe probe)
    {
        var u = _m.Column;
        new Span<double>(u, _t.IndexCount).Clear();
        new Span<double>(_m.Adjoint, _t.IndexCount).Clear();
        // A group that floats on a joint's unknown moves with it.
        u[_links.Alias[_nodeColumn[probe.Positive]]] += 1;
        u[_links.Alias[_nodeColumn[probe.Negative]]] -= 1;
        SolveTransposed(u, _m.Adjoint);
        return _m.Adjoint[_nodeRow[probe.Positive]] - _m.Adjoint[_nodeRow[probe.Negative]];
    }

    private double ReadOne(in Probe probe, ReadOnlySpan<int> columns, Span<double> row)
    {
        var (positive, negative) = (_nodeColumn[probe.Positive], _nodeColumn[probe.Negative]);
        var unloaded = _m.V[positive] - _m.V[negative];
        var g = Load(probe);
        if (g == 0 && row.IsEmpty)
        {
            return unloaded;
        }
        var resistance = SolveAdjoint(probe);
        var factor = 1 / (1 + g * resistance);
        var reading = unloaded * factor;
        var shift = Math.Abs(reading - unloaded);
        if (shift > SmallShiftVolts && shift > SmallShift * Math.Abs(unloaded) && !IsLinear)
        {
            return ReadLoaded(probe, g, columns, row);
        }
        if (!row.IsEmpty)
        {
            for (var i = 0; i < _t.FirstEdit + _places; i++)
            {
                _m.Adjoint[i] *= factor;
            }
            if (shift > 0)
            {
                MoveByLoad(probe, g * reading);
            }
            else
            {
                Copy(_m.V, _m.Trial, _t.IndexCount);
            }
            Differentiate(probe, columns, row);
        }
        return reading;
    }

    private bool IsLinear => _t.Flows.Length == 0;

    // Trial = V less what the meter's current does.
    private void MoveByLoad(in Probe probe, double amperes)
    {
        var b = _m.Column;
        new Span<double>(b, _t.IndexCount).Clear();
        b[_nodeRow[probe.Positive]] += amperes;
        b[_nodeRow[probe.Negative]] -= amperes;
        SolveLinear(b, _m.Simplified);
        Advance(_m.V, -1, _m.Simplified, _m.Trial);
    }

    /// <summary>The loaded circuit solved for itself: the meter is one more conductance.</summary>
    private double ReadLoaded(in Probe probe, double g, ReadOnlySpan<int> columns, Span<double> row)
    {
        Copy(_m.V, _m.Start, _t.IndexCount);
        var (positive, negative) = (_nodeColumn[probe.Positive], _nodeColumn[probe.Negative]);
        var (rowP, rowN) = (_nodeRow[probe.Positive], _nodeRow[probe.Negative]);
        // Evaluated at the solution, so that junctions are limited against it.
        CommitJunctions();
        for (var iteration = 0; iteration < MostLoadIterations; iteration++)
        {
            var b = _m.Column;
            new Span<double>(b, _t.IndexCount).Clear();
            b[rowP] += 1;
            b[rowN] -= 1;
            SolveLinear(b, _m.Simplified);
            var response = ColumnDifference(_m.Simplified, positive, negative);
            var current = g * (_m.V[positive] - _m.V[negative]);
            _m.F[rowP] += current;
            _m.F[rowN] -= current;
            SolveLinear(_m.F, _m.Step);
            var correction = g * ColumnDifference(_m.Step, positive, negative) / (1 + g * response);
            for (var i = 0; i < _t.FirstEdit + _places; i++)
            {
                _m.Step[i] -= correction * _m.Simplified[i];
            }
            var size = Norm(_m.Step);
            Advance(_m.V, -1, _m.Step, _m.V);
            Evaluate(_m.V, limit: true);
            CommitJunctions();
            Factor();
            if (!(size > Tolerance * 10))
            {
                break;
            }
        }
        var reading = _m.V[positive] - _m.V[negative];
        if (!row.IsEmpty)
        {
            var factor = 1 / (1 + g * SolveAdjoint(probe));
            for (var i = 0; i < _t.FirstEdit + _places; i++)
            {
                _m.Adjoint[i] *= factor;
            }
            Copy(_m.V, _m.Trial, _t.IndexCount);
            _responsesKnown = false;
            Differentiate(probe, columns, row);
            _responsesKnown = false;
        }
        // Back to the circuit as solved.
        Copy(_m.Start, _m.V, _t.IndexCount);
        Evaluate(_m.V, limit: false);
        Factor();
        return reading;
    }

    // Columns that are no unknowns do not change.
    private double ColumnDifference(double* x, int positive, int negative) =>
        Entry(x, positive) - Entry(x, negative);

    private double Entry(double* x, int column)
    {
        column = _links.Alias[column];
        return IsFixed(column) ? 0 : x[column];
    }
}

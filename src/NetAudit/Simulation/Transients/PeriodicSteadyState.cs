using MathNet.Numerics.LinearAlgebra;

namespace NetAudit.Simulation.Transients;

/// <summary>How the search for a periodic steady state ended.</summary>
internal enum PeriodicOutcome
{
    /// <summary>The circuit repeats itself within the tolerance.</summary>
    Settled,

    /// <summary>It was followed as far as allowed and still changes from period to period, or would leave the state found by itself.</summary>
    Unsettled,

    /// <summary>A period could not be followed to its end.</summary>
    Failed,
}

/// <summary>
/// The steady state of a driven circuit, by Newton's method on the states at the start of a period: those are sought that one period
/// later are the same. So a supply with a time constant of a second costs no more than a coupling capacitor.
/// T. J. Aprille and T. N. Trick, Proc. IEEE 60, 1972, p. 108. Not thread-safe.
/// </summary>
internal sealed class PeriodicSteadyState
{
    private const int MostPeriods = 40;

    // A step that would move a capacitor by more than this is cut: the tubes are another circuit there.
    private const double LongestStride = 60;

    // Tolerance on the distance to the steady state: a share of what the state swings through and of its size, and a floor.
    private const double ShareOfSwing = 2e-3;
    private const double ShareOfSize = 2e-5;
    private const double LeastVolts = 5e-4;
    private const double LeastAmps = 5e-6;

    // What rounding and the steps' errors may add to an eigenvalue of one: a supply's is one less a thousandth.
    private const double StabilityDoubt = 1e-4;

    private readonly Integrator _integrator;
    private readonly StateSensitivity _sensitivity;
    private readonly double _period;
    private readonly double[] _start;
    private readonly double[] _units;
    private readonly double[] _least;
    private readonly double[] _low;
    private readonly double[] _high;
    private readonly double[] _distance;
    private readonly int[] _free;

    /// <param name="integrator">Started at an operating point; its sources repeat with the period, from time 0.</param>
    /// <param name="period">Seconds.</param>
    public PeriodicSteadyState(Integrator integrator, double period)
    {
        _integrator = integrator;
        _period = period;
        _sensitivity = new StateSensitivity(integrator.Workspace);
        var states = integrator.Workspace.StateCount;
        _start = integrator.Charges.ToArray();
        _units = new double[states];
        _least = new double[states];
        _low = new double[states];
        _high = new double[states];
        _distance = new double[states];
        FindUnits(integrator.Workspace);
        // What stores nothing, and the charges of junctions, which forget within a period.
        _free = [.. Enumerable.Range(0, states).Where(k => _units[k] > 0)];
        integrator.Stepped = Watch;
    }

    /// <summary>Periods followed by the last <see cref="Settle"/>.</summary>
    public int Periods { get; private set; }

    /// <summary>Looks for the steady state, from where the last search ended.</summary>
    public PeriodicOutcome Settle(CancellationToken cancellationToken)
    {
        var before = double.PositiveInfinity;
        for (Periods = 1; Periods <= MostPeriods; Periods++)
        {
            _sensitivity.Begin(_units);
            _integrator.Sensitivity = _sensitivity;
            var failure = Follow(cancellationToken);
            _integrator.Sensitivity = null;
            if (failure != TransientFailure.None)
            {
                return PeriodicOutcome.Failed;
            }
            if (_free.Length == 0)
            {
                // Nothing is stored, so every period is like the first.
                return PeriodicOutcome.Settled;
            }
            var change = LargestChange();
            if (change > 4 * before)
            {
                // Newton's method went astray: a few plain periods lead back.
                for (var i = 0; i < 3 && Periods < MostPeriods; i++, Periods++)
                {
                    _integrator.Charges.CopyTo(_start);
                    if (Follow(cancellationToken) != TransientFailure.None)
                    {
                        return PeriodicOutcome.Failed;
                    }
                }
                _integrator.Charges.CopyTo(_start);
                before = double.PositiveInfinity;
                continue;
            }
            before = change;
            var distance = FindDistance();
            for (var k = 0; k < _start.Length; k++)
            {
                _start[k] = _units[k] > 0 ? _start[k] + _distance[k] : _integrator.Charges[k];
            }
            if (distance <= 1)
            {
                return IsStable() ? PeriodicOutcome.Settled : PeriodicOutcome.Unsettled;
            }
        }
        return PeriodicOutcome.Unsettled;
    }

    /// <summary>Follows one more period and calls at each of so many equal parts of it. False when it could not be followed.</summary>
    public bool Sample(int parts, Action<int> sample, CancellationToken cancellationToken)
    {
        _integrator.StartPeriod(_start);
        for (var part = 1; part <= parts; part++)
        {
            var time = _period * part / parts;
            if (_integrator.AdvanceTo(time, cancellationToken) != TransientFailure.None)
            {
                return false;
            }
            sample(part % parts);
        }
        return true;
    }

    private TransientFailure Follow(CancellationToken cancellationToken)
    {
        _integrator.StartPeriod(_start);
        Array.Fill(_low, double.PositiveInfinity);
        Array.Fill(_high, double.NegativeInfinity);
        return _integrator.AdvanceTo(_period, cancellationToken);
    }

    private void Watch(Integrator integrator)
    {
        var charges = integrator.Charges;
        for (var k = 0; k < charges.Length; k++)
        {
            _low[k] = Math.Min(_low[k], charges[k]);
            _high[k] = Math.Max(_high[k], charges[k]);
        }
    }

    // What the states changed by over the period, in units of the tolerance.
    private double LargestChange() =>
        _free.Select(k => Math.Abs(_integrator.Charges[k] - _start[k]) / Allowed(k)).Max();

    private double Allowed(int k) =>
        ShareOfSwing * (_high[k] - _low[k])
        + ShareOfSize * Math.Abs(_high[k])
        + _least[k] * _units[k];

    // How far away the steady state is: (1 - M) distance = change over the period. Returns its size in units of the tolerance.
    private double FindDistance()
    {
        var n = _free.Length;
        var system = Matrix<double>.Build.DenseIdentity(n) * (1 + 1e-12) - Monodromy();
        var change = Vector<double>.Build.Dense(
            n,
            row => (_integrator.Charges[_free[row]] - _start[_free[row]]) / _units[_free[row]]
        );
        var distance = system.LU().Solve(change);
        var stride = Math.Min(1, LongestStride / distance.AbsoluteMaximum());
        var worst = 0.0;
        for (var i = 0; i < n; i++)
        {
            var k = _free[i];
            var whole = distance[i] * _units[k];
            worst = Math.Max(worst, Math.Abs(whole) / Allowed(k));
            _distance[k] = double.IsFinite(whole) ? stride * whole : 0;
        }
        return double.IsFinite(worst) ? worst : double.PositiveInfinity;
    }

    // How the states at the end of the period move with those at its start, M.
    private Matrix<double> Monodromy() =>
        Matrix<double>.Build.Dense(
            _free.Length,
            _free.Length,
            (row, column) => _sensitivity[_free[row], _free[column]] / _units[_free[row]]
        );

    // Newton's method also finds a steady state that the circuit would leave at the least touch: an amplifier that oscillates. There an
    // eigenvalue of M lies outside the unit circle.
    private bool IsStable() =>
        Monodromy().Evd().EigenValues.All(value => value.Magnitude < 1 + StabilityDoubt);

    private void FindUnits(Workspace workspace)
    {
        var t = workspace.Structure;
        for (var i = 0; i < t.Capacitances.Length; i++)
        {
            _units[i] = workspace.ValueNow(t.Capacitances[i].Element);
            _least[i] = LeastVolts;
        }
        var firstInductor = t.Capacitances.Length + t.ChargeCount;
        for (var i = 0; i < t.Inductances.Length; i++)
        {
            _units[firstInductor + i] = workspace.ValueNow(t.Inductances[i].Element);
            _least[firstInductor + i] = LeastAmps;
        }
    }
}

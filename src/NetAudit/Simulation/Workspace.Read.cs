using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// Readings: what a meter of finite resistance shows, and how that depends on every parameter. A load g across nodes p, n adds g u u' to
// the Jacobian (u = +1 at p, -1 at n), so by Sherman and Morrison (Ann. Math. Stat. 21, 1950, p. 124) the loaded circuit's reading and
// adjoint follow from the unloaded factors; where the load moves the circuit far, or bends a current that starves, the loaded equations are
// iterated to their solution.
// Meters are worked on in blocks of eight, one a lane.
public sealed unsafe partial class Workspace
{
    // A meter that moves its point by more than both of these may switch something on.
    private const double FarShift = 1e-2;
    private const double FarShiftVolts = 2e-2;

    // When only foretelling, no other bends anything, and by less than this it bends little.
    private const double RoughShift = 0.1;
    private const double RoughShiftVolts = 0.2;

    // A meter that moves its point by less than this bends nothing.
    private const double StraightShiftVolts = 2e-3;

    // Part of the meter's current by which a non-linear current may differ from the straight line.
    private const double StraightShare = 0.02;

    // A reading lowered by less than this shows the same on any meter: the rest of the circuit has not moved either.
    private const double NoShift = 1e-6;

    private readonly LaneMemory _slopes = new();
    private bool _readFactored;

    /// <summary>
    /// Readings of voltmeters, each alone in the circuit as last solved, with their derivatives.
    /// </summary>
    /// <param name="probes">The meters.</param>
    /// <param name="columns">What to differentiate by: a parameter's index, or Parameters.Length plus an edit's index.</param>
    /// <param name="readings">Volts, one a probe.</param>
    /// <param name="jacobian">d(reading)/d(value) in SI units, row by row: a row a probe; empty when none are wanted. Exact for the
    /// loaded circuit.</param>
    public void Read(
        ReadOnlySpan<Probe> probes,
        ReadOnlySpan<int> columns,
        Span<double> readings,
        Span<double> jacobian
    )
    {
        RequireSolution();
        var plan = jacobian.IsEmpty ? null : PlanFor(columns);
        if (plan is null && !AnyLoad(probes))
        {
            for (var p = 0; p < probes.Length; p++)
            {
                readings[p] = UnloadedVolts(probes[p]);
            }
            return;
        }
        FindAdjoints(probes);
        if (plan is not null)
        {
            PrepareRead();
        }
        _farCount = 0;
        Span<double> amperes = stackalloc double[LaneMemory.Width];
        for (var first = 0; first < probes.Length; first += LaneMemory.Width)
        {
            var block = probes[first..Math.Min(first + LaneMemory.Width, probes.Length)];
            var moves = ReadBlock(block, first, readings, amperes);
            if (plan is not null || (moves && !IsRough))
            {
                FindShifts(block, amperes, ShiftLanes);
            }
            if (moves && IsRough)
            {
                AddFar(block, first, readings, amperes);
            }
            else if (moves)
            {
                AddBent(block, first, readings, amperes, ShiftLanes);
            }
            if (plan is not null)
            {
                var slopes = _slopes.Reserve(plan.Count);
                Differentiate(block, plan, AdjointLanes(first), ShiftLanes, slopes);
                var rows = jacobian[(first * plan.Count)..];
                LaneMemory.Transpose(slopes, plan.Count, block.Length, rows);
            }
        }
        ReadFar(plan, readings, jacobian);
    }

    // Readings of a block, by the loaded linear circuit, and the current that each meter draws. Returns whether one may bend a current.
    private bool ReadBlock(
        ReadOnlySpan<Probe> block,
        int first,
        Span<double> readings,
        Span<double> amperes
    )
    {
        amperes.Clear();
        var moves = false;
        for (var lane = 0; lane < block.Length; lane++)
        {
            ref readonly var probe = ref block[lane];
            var g = Load(probe);
            var unloaded = UnloadedVolts(probe);
            var reading = unloaded / (1 + g * _resistances[first + lane]);
            var shift = Math.Abs(reading - unloaded);
            readings[first + lane] = reading;
            if (shift > NoShift * Math.Abs(unloaded))
            {
                amperes[lane] = g * reading;
            }
            moves |= shift > (IsRough ? RoughShiftVolts : StraightShiftVolts);
        }
        return moves && !IsLinear;
    }

    // Meters of a block that move their points so far that the linear circuit says nothing.
    private void AddFar(
        ReadOnlySpan<Probe> block,
        int first,
        ReadOnlySpan<double> readings,
        ReadOnlySpan<double> amperes
    )
    {
        for (var lane = 0; lane < block.Length; lane++)
        {
            var unloaded = UnloadedVolts(block[lane]);
            var shift = Math.Abs(readings[first + lane] - unloaded);
            if (shift > RoughShiftVolts && shift > RoughShift * Math.Abs(unloaded))
            {
                AddFar(block[lane], first + lane, amperes[lane]);
            }
        }
    }

    // Meters of a block whose readings the linear circuit does not give. An exponential current I that should change by d changes by
    // d^2 / 2I more than that, to second order; a tube's by less.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void AddBent(
        ReadOnlySpan<Probe> block,
        int first,
        ReadOnlySpan<double> readings,
        ReadOnlySpan<double> amperes,
        Lanes* shifts
    )
    {
        var drawn = Vector512.Abs(Vector512.LoadUnsafe(in amperes[0]));
        var bent = Lanes.Zero;
        for (var flow = 0; flow < _t.Flows.Length; flow++)
        {
            var change = Lanes.Zero;
            foreach (var i in _t.PartialsOf[flow])
            {
                change += _m.Partials[i] * shifts[_links.PortColumn[_t.Partials[i].ColumnPort]];
            }
            var straight = 2 * StraightShare * Math.Abs(_m.Flows[flow]) * drawn;
            bent |= Vector512.GreaterThan(change * change, straight);
        }
        for (var lane = 0; lane < block.Length; lane++)
        {
            var unloaded = UnloadedVolts(block[lane]);
            var shift = Math.Abs(readings[first + lane] - unloaded);
            var isFar = shift > FarShiftVolts && shift > FarShift * Math.Abs(unloaded);
            if (isFar || bent[lane] != 0 && shift > StraightShiftVolts)
            {
                AddFar(block[lane], first + lane, amperes[lane]);
            }
        }
    }

    private bool IsLinear => _t.Flows.Length == 0;

    private static double Load(in Probe probe) =>
        double.IsInfinity(probe.LoadOhms) ? 0 : 1 / probe.LoadOhms;

    private static bool AnyLoad(ReadOnlySpan<Probe> probes)
    {
        foreach (ref readonly var probe in probes)
        {
            if (Load(probe) != 0)
            {
                return true;
            }
        }
        return false;
    }

    private double UnloadedVolts(in Probe probe) =>
        _m.V[_nodeColumn[probe.Positive]] - _m.V[_nodeColumn[probe.Negative]];

    private void RequireSolution()
    {
        if (!_solved)
        {
            throw new InvalidOperationException("There is no operating point to read from.");
        }
        if (_stale)
        {
            throw new InvalidOperationException("Something was changed since the last solve.");
        }
    }

    // Factors of the Jacobian at the solution itself: the last iteration's are those of the point before.
    private void PrepareRead()
    {
        if (_readFactored)
        {
            return;
        }
        ReturnToSolution();
        Factor();
        _readFactored = true;
        _responsesKnown = false;
        ReserveLanes();
    }

    // Flows and partial derivatives at the solution.
    private void ReturnToSolution()
    {
        if (_leftSolution)
        {
            Evaluate(_m.V, limit: false);
            _leftSolution = false;
        }
    }

    // By how much a current drawn by each meter moves everything.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void FindShifts(ReadOnlySpan<Probe> probes, ReadOnlySpan<double> amperes, Lanes* shifts)
    {
        new Span<Lanes>(shifts, _t.IndexCount).Clear();
        if (!amperes.ContainsAnyExcept(0))
        {
            return;
        }
        PrepareRead();
        var b = RightLanes;
        new Span<Lanes>(b, _t.IndexCount).Clear();
        for (var lane = 0; lane < probes.Length; lane++)
        {
            At(b, _nodeRow[probes[lane].Positive], lane) -= amperes[lane];
            At(b, _nodeRow[probes[lane].Negative], lane) += amperes[lane];
        }
        SolveLinear(b, shifts);
        // Groups that float on a joint's unknown move with it.
        for (var i = _t.UnknownCount; _places > 0 && i < _t.Discard; i++)
        {
            if (_links.Alias[i] >= _t.FirstEdit)
            {
                shifts[i] = shifts[_links.Alias[i]];
            }
        }
    }

    private static ref double At(Lanes* entries, int index, int lane) =>
        ref ((double*)(entries + index))[lane];
}

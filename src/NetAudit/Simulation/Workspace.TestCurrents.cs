using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using NetAudit.Simulation.Compilation;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// What an ohmmeter drives through the circuit as last solved, and the volts that it finds there.
public sealed unsafe partial class Workspace
{
    // Error at which a test current's volts are accepted, relative to a volt.
    private const double TestTolerance = 1e-7;

    // Part of a test current by which what flows through junctions may differ from the straight line.
    private const double TestShare = 2e-3;

    // An exponential current g v at v volts across it is by a part v / 2 Vt larger than the straight line has it, to second order.
    private const double LeastThermalVolts = 0.0259;

    /// <summary>
    /// Which of up to eight test currents bend a current in the circuit: there the resistance that a meter shows is not that of small
    /// currents.
    /// </summary>
    /// <param name="probes">Where each current enters and leaves.</param>
    /// <param name="amperes">The currents.</param>
    /// <param name="bent">One a probe.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    internal void FindBent(
        ReadOnlySpan<Probe> probes,
        ReadOnlySpan<double> amperes,
        Span<bool> bent
    )
    {
        RequireSolution();
        bent[..probes.Length].Clear();
        if (IsLinear)
        {
            return;
        }
        Span<double> drawn = stackalloc double[LaneMemory.Width];
        drawn.Clear();
        for (var lane = 0; lane < probes.Length; lane++)
        {
            drawn[lane] = -amperes[lane];
        }
        PrepareRead();
        var shifts = ShiftLanes;
        FindShifts(probes, drawn, shifts);
        var most =
            TestShare * 2 * LeastThermalVolts * Vector512.Abs(Vector512.LoadUnsafe(in drawn[0]));
        var beyond = Lanes.Zero;
        for (var flow = 0; flow < _t.Flows.Length; flow++)
        {
            var change = Lanes.Zero;
            var largest = Lanes.Zero;
            foreach (var i in _t.PartialsOf[flow])
            {
                var shift = shifts[_links.PortColumn[_t.Partials[i].ColumnPort]];
                change += _m.Partials[i] * shift;
                largest = Vector512.Max(largest, Vector512.Abs(shift));
            }
            beyond |= Vector512.GreaterThan(Vector512.Abs(change) * largest, most);
        }
        for (var lane = 0; lane < probes.Length; lane++)
        {
            bent[lane] = beyond[lane] != 0;
        }
    }

    /// <summary>
    /// Drives a current through a pair of nodes by iterating the equations with it: that of a rung, or the next smaller that finds no more
    /// volts than the ladder allows.
    /// </summary>
    /// <param name="probe">Where it enters and leaves; without a load.</param>
    /// <param name="ladder">The ladder.</param>
    /// <param name="rung">The rung to begin at; then the one that stood.</param>
    /// <param name="columns">What to differentiate by; none when <paramref name="row"/> is empty.</param>
    /// <param name="row">d(volts)/d(value) at that current.</param>
    /// <param name="resistance">Volts per further ampere there; with derivatives only.</param>
    /// <returns>The volts that the current adds; infinity when even the smallest finds too many; NaN when that one did not settle.</returns>
    internal double DriveTest(
        in Probe probe,
        in TestLadder ladder,
        ref int rung,
        ReadOnlySpan<int> columns,
        Span<double> row,
        out double resistance
    )
    {
        RequireSolution();
        resistance = double.PositiveInfinity;
        Copy(_m.V, _m.Start, _t.IndexCount);
        var standing = UnloadedVolts(probe);
        var settled = false;
        _leftSolution = true;
        _readFactored = false;
        for (; TestLadder.Has(rung); rung++)
        {
            settled = SettleTest(probe, TestLadder.Amperes(rung));
            var volts = UnloadedVolts(probe) - standing;
            if (settled && volts <= ladder.MostVolts)
            {
                if (!row.IsEmpty)
                {
                    Evaluate(_m.V, limit: false);
                    Factor();
                    resistance = DifferentiateLoaded(probe, PlanFor(columns), row);
                }
                Copy(_m.Start, _m.V, _t.IndexCount);
                return volts;
            }
            Copy(_m.Start, _m.V, _t.IndexCount);
        }
        if (settled)
        {
            return double.PositiveInfinity;
        }
        if (_editCount == Topology.MostEdits)
        {
            return double.NaN;
        }
        rung = TestLadder.Smallest;
        double[] before = [.. new ReadOnlySpan<double>(_m.V, _t.IndexCount)];
        Inject(probe.Negative, probe.Positive, TestLadder.Amperes(rung));
        var plan = row.IsEmpty ? null : PlanFor(columns);
        var found = ReadEdited(probe, plan, row, out resistance) - standing;
        DropEdit(before);
        return found > ladder.MostVolts ? double.PositiveInfinity : found;
    }

    // Newton with the current as one more constant, from V.
    private bool SettleTest(in Probe probe, double amperes)
    {
        var (rowP, rowN) = (_nodeRow[probe.Positive], _nodeRow[probe.Negative]);
        Evaluate(_m.V, limit: false);
        CommitJunctions();
        var before = 0.0;
        var limited = false;
        for (var iteration = 0; iteration < MostLoadIterations; iteration++)
        {
            if (!Factor())
            {
                return false;
            }
            _m.F[rowP] -= amperes;
            _m.F[rowN] += amperes;
            SolveLinear(_m.F, _m.Step);
            var size = Norm(_m.Step);
            if (!double.IsFinite(size))
            {
                return false;
            }
            Advance(_m.V, -1, _m.Step, _m.V);
            if (!limited && IsLast(size, before, TestTolerance))
            {
                return true;
            }
            before = size;
            limited = Evaluate(_m.V, limit: true);
            CommitJunctions();
        }
        return false;
    }
}

using NetAudit.Simulation.Compilation;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// A reading whose meter moves the circuit far: the loaded circuit solved for itself, with the meter as one more conductance.
public sealed unsafe partial class Workspace
{
    private const int MostLoadIterations = 30;

    // Relative error that is left in a loaded circuit which only foretells: less than meters have.
    private const double RoughLoadTolerance = 1e-3;

    // After a step smaller than this the factors of the point before it are as good as those of the solution.
    private const double FreshStep = 1e-6;

    // V was at the solution of a loaded circuit since the last evaluation.
    private bool _leftSolution;

    private readonly LoadedSolutions _loadedSolutions = new();
    private readonly LaneMemory _farShifts = new();
    private Probe[] _farProbes = [];
    private int[] _farReadings = [];
    private double[] _farAmperes = [];
    private int _farCount;

    private void AddFar(in Probe probe, int reading, double amperes)
    {
        if (_farCount == _farProbes.Length)
        {
            var size = _farCount + LaneMemory.Width;
            Array.Resize(ref _farProbes, size);
            Array.Resize(ref _farReadings, size);
            Array.Resize(ref _farAmperes, size);
        }
        _farProbes[_farCount] = probe;
        _farReadings[_farCount] = reading;
        _farAmperes[_farCount++] = amperes;
    }

    private void ReadFar(ColumnPlan? plan, Span<double> readings, Span<double> jacobian)
    {
        // Where the loads would move a linear circuit: with the factors at the solution, which the first loaded circuit overwrites.
        for (var first = 0; first < _farCount; first += LaneMemory.Width)
        {
            var count = Math.Min(LaneMemory.Width, _farCount - first);
            FindShifts(
                _farProbes.AsSpan(first, count),
                _farAmperes.AsSpan(first, count),
                FarShifts(first)
            );
        }
        for (var i = 0; i < _farCount; i++)
        {
            var reading = _farReadings[i];
            var row = plan is null ? default : jacobian.Slice(reading * plan.Count, plan.Count);
            readings[reading] = ReadLoaded(i, plan, row);
        }
    }

    private Lanes* FarShifts(int probe) =>
        _farShifts.Reserve((_farProbes.Length / LaneMemory.Width + 1) * _t.IndexCount)
        + probe / LaneMemory.Width * _t.IndexCount;

    private double ReadLoaded(int far, ColumnPlan? plan, Span<double> row)
    {
        ref readonly var probe = ref _farProbes[far];
        Copy(_m.V, _m.Start, _t.IndexCount);
        _leftSolution = true;
        _readFactored = false;
        var isFresh = false;
        var settled = _loadedSolutions.TryGet(probe, _m.V, _t.IndexCount);
        if (!settled)
        {
            var shifts = (double*)FarShifts(far) + far % LaneMemory.Width;
            settled = SettleLoaded(shifts, probe, out isFresh);
            if (settled)
            {
                _loadedSolutions.Add(probe, _m.V, _t.IndexCount);
            }
        }
        var reading = UnloadedVolts(probe);
        if (settled && plan is not null)
        {
            if (!isFresh)
            {
                Evaluate(_m.V, limit: false);
                Factor();
            }
            DifferentiateLoaded(probe, plan, row);
        }
        // Back to the circuit as solved; factors there are made when they are asked for.
        Copy(_m.Start, _m.V, _t.IndexCount);
        return settled ? reading : SolveLoaded(probe, plan, row);
    }

    // Where nothing but the meter holds a point, what it switches on may be far away: the meter as one more resistance.
    private double SolveLoaded(in Probe probe, ColumnPlan? plan, Span<double> row)
    {
        var volts = double.NaN;
        row.Fill(double.NaN);
        if (_editCount < Topology.MostEdits)
        {
            double[] before = [.. new ReadOnlySpan<double>(_m.V, _t.IndexCount)];
            Bridge(probe.Positive, probe.Negative, 1 / Load(probe));
            volts = ReadEdited(probe, plan, row, out _);
            DropEdit(before);
        }
        return volts;
    }

    // Volts of the circuit with the edit just made, by the whole ladder; not a number when that leads nowhere.
    private double ReadEdited(
        in Probe probe,
        ColumnPlan? plan,
        Span<double> row,
        out double resistance
    )
    {
        resistance = double.NaN;
        if (!Solve([.. _volts]).Converged)
        {
            return double.NaN;
        }
        var volts = UnloadedVolts(probe);
        if (plan is not null)
        {
            Factor();
            var ideal = probe with { LoadOhms = double.PositiveInfinity };
            resistance = DifferentiateLoaded(ideal, plan, row);
        }
        return volts;
    }

    // Takes back the last edit and what was solved with it: the solution before is that of the circuit again.
    private void DropEdit(ReadOnlySpan<double> solution)
    {
        _editCount--;
        if (_edits[_editCount].Place >= 0)
        {
            _places--;
        }
        _stale = true;
        PrepareStatic();
        solution.CopyTo(new(_m.V, _t.IndexCount));
        for (var node = 0; node < _volts.Length; node++)
        {
            _volts[node] = _m.V[_nodeColumn[node]];
        }
        Evaluate(_m.V, limit: false);
        CommitJunctions();
        _readFactored = false;
        _adjointsKnown = false;
        _loadedSolutions.Clear();
        _leftSolution = true;
        _solved = true;
    }

    // Newton with the load as one more conductance, from where it would move a linear circuit. Afterwards the factors are those of the
    // solution if it is fresh.
    private bool SettleLoaded(double* shifts, in Probe probe, out bool isFresh)
    {
        if (_t.JunctionCount > 0)
        {
            // Junctions are limited against the solution.
            Evaluate(_m.V, limit: false);
            CommitJunctions();
        }
        for (var i = 0; i < _t.FirstEdit + _places; i++)
        {
            _m.Step[i] = shifts[i * LaneMemory.Width];
        }
        Advance(_m.V, 1, _m.Step, _m.V);
        isFresh = false;
        var tolerance = IsRough ? RoughLoadTolerance : ExactTolerance;
        var g = Load(probe);
        var (positive, negative) = (_nodeColumn[probe.Positive], _nodeColumn[probe.Negative]);
        var (rowP, rowN) = (_nodeRow[probe.Positive], _nodeRow[probe.Negative]);
        var before = Norm(_m.Step);
        var limited = Evaluate(_m.V, limit: true);
        CommitJunctions();
        for (var iteration = 0; iteration < MostLoadIterations; iteration++)
        {
            if (!Factor())
            {
                return false;
            }
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
            if (!double.IsFinite(size))
            {
                return false;
            }
            Advance(_m.V, -1, _m.Step, _m.V);
            if (!limited && IsLast(size, before, tolerance))
            {
                isFresh = !(size > FreshStep);
                return true;
            }
            before = size;
            limited = Evaluate(_m.V, limit: true);
            CommitJunctions();
        }
        return false;
    }

    // Whether a full step leaves an error within the tolerance: the next one would be of the order of the square of this one, as this one is
    // of that of the step before (0 when there was none).
    private static bool IsLast(double size, double before, double tolerance)
    {
        var contraction = size / before;
        var next =
            size * Math.Min(contraction * contraction * ContractionDoubt, size * SlopeChange);
        return !(Math.Min(size, next) > tolerance);
    }

    // The first lane of a block of its own. Returns the resistance that the meter sees.
    private double DifferentiateLoaded(in Probe probe, ColumnPlan plan, Span<double> row)
    {
        var probes = new ReadOnlySpan<Probe>(in probe);
        var resistance = 0.0;
        FindAdjoints(probes, LoadedLanes, new Span<double>(ref resistance));
        new Span<Lanes>(ShiftLanes, _t.IndexCount).Clear();
        _responsesKnown = false;
        var slopes = _slopes.Reserve(plan.Count);
        Differentiate(probes, plan, LoadedLanes, ShiftLanes, slopes);
        LaneMemory.Transpose(slopes, plan.Count, 1, row);
        _responsesKnown = false;
        return resistance;
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

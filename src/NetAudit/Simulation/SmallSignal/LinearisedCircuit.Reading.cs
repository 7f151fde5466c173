using System.Numerics;
using System.Runtime.CompilerServices;

namespace NetAudit.Simulation.SmallSignal;

// What meters show, eight at a time, one a lane. A meter's admittance y across nodes p, n adds y u u' to Y (u = +1 at p, -1 at n), so with
// c = inv(Y) u, a = inv(Y') u and r = u' c the loaded level is V / (1 + y r), the adjoint a / (1 + y r), the volts v - c y V / (1 + y r).
internal sealed unsafe partial class LinearisedCircuit
{
    // A level lowered by less than this shows the same on any meter: the rest of the circuit has not moved either.
    private const double NoShift = 1e-6;

    /// <summary>
    /// Levels under the excitations last solved for. With <paramref name="forDerivatives"/> the lanes of volts and adjoints are left for
    /// <see cref="Differentiate"/>.
    /// </summary>
    public void ReadLevels(
        ReadOnlySpan<LevelProbe> probes,
        Span<Complex> levels,
        bool forDerivatives
    )
    {
        var anyLoad = false;
        for (var lane = 0; lane < probes.Length; lane++)
        {
            levels[lane] = Volts(probes[lane].Positive, probes[lane].Negative);
            anyLoad |= Load(probes[lane]) != 0;
        }
        if (!anyLoad && !forDerivatives)
        {
            return;
        }
        Clear(RightLanes, _t.IndexCount);
        for (var lane = 0; lane < probes.Length; lane++)
        {
            PickNodes(probes[lane].Positive, probes[lane].Negative, lane);
        }
        _matrix.SolveTransposed(RightLanes, AdjointLanes);
        Span<Complex> amperes = stackalloc Complex[LaneMemory.Width];
        var factors = ComplexLanes.All(1, 0);
        var moves = false;
        for (var lane = 0; lane < probes.Length; lane++)
        {
            var y = Load(probes[lane]);
            if (y == 0)
            {
                continue;
            }
            var resistance =
                Lane(AdjointLanes + _frame.NodeRow[probes[lane].Positive], lane)
                - Lane(AdjointLanes + _frame.NodeRow[probes[lane].Negative], lane);
            var factor = 1 / (1 + y * resistance);
            SetLane(&factors, lane, factor);
            levels[lane] *= factor;
            amperes[lane] = y * levels[lane];
            moves |= Complex.Abs(factor - 1) > NoShift;
        }
        if (!forDerivatives)
        {
            return;
        }
        ScaleAdjoints(factors);
        SpreadVolts(probes, moves, amperes);
    }

    /// <summary>
    /// Impedance between each pair of nodes. With <paramref name="forDerivatives"/> the lanes of volts (per ampere put in) and adjoints are
    /// left for <see cref="Differentiate"/>.
    /// </summary>
    public void ReadImpedances(
        ReadOnlySpan<NodePair> pairs,
        Span<Complex> ohms,
        bool forDerivatives
    )
    {
        Clear(RightLanes, _t.IndexCount);
        Clear(VoltLanes, _t.IndexCount);
        for (var lane = 0; lane < pairs.Length; lane++)
        {
            AddLane(RightLanes + _frame.NodeRow[pairs[lane].Positive], lane, 1);
            AddLane(RightLanes + _frame.NodeRow[pairs[lane].Negative], lane, -1);
        }
        _matrix.Solve(RightLanes, VoltLanes);
        FollowFloating(VoltLanes);
        for (var lane = 0; lane < pairs.Length; lane++)
        {
            ohms[lane] =
                Lane(VoltLanes + _frame.NodeColumn[pairs[lane].Positive], lane)
                - Lane(VoltLanes + _frame.NodeColumn[pairs[lane].Negative], lane);
        }
        if (forDerivatives)
        {
            _excitations = 0;
            Clear(RightLanes, _t.IndexCount);
            for (var lane = 0; lane < pairs.Length; lane++)
            {
                PickNodes(pairs[lane].Positive, pairs[lane].Negative, lane);
            }
            _matrix.SolveTransposed(RightLanes, AdjointLanes);
        }
    }

    private Complex Load(in LevelProbe probe) =>
        new(double.IsInfinity(probe.LoadOhms) ? 0 : 1 / probe.LoadOhms, _omega * probe.LoadFarads);

    // A group that floats on a joint's unknown moves with it.
    private void PickNodes(int positive, int negative, int lane)
    {
        var alias = _frame.Links.Alias;
        AddLane(RightLanes + alias[_frame.NodeColumn[positive]], lane, 1);
        AddLane(RightLanes + alias[_frame.NodeColumn[negative]], lane, -1);
    }

    private void ScaleAdjoints(ComplexLanes factors)
    {
        var a = AdjointLanes;
        for (var i = 0; i < _t.FirstEdit + Places; i++)
        {
            a[i] *= factors;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void SpreadVolts(
        ReadOnlySpan<LevelProbe> probes,
        bool moves,
        ReadOnlySpan<Complex> amperes
    )
    {
        var v = VoltLanes;
        if (moves)
        {
            Clear(RightLanes, _t.IndexCount);
            Clear(v, _t.IndexCount);
            for (var lane = 0; lane < probes.Length; lane++)
            {
                AddLane(RightLanes + _frame.NodeRow[probes[lane].Positive], lane, -amperes[lane]);
                AddLane(RightLanes + _frame.NodeRow[probes[lane].Negative], lane, amperes[lane]);
            }
            _matrix.Solve(RightLanes, v);
            FollowFloating(v);
        }
        for (var i = 0; i < _t.FirstEdit + Places; i++)
        {
            var common = ComplexLanes.All(_volts[i].Real, _volts[i].Imaginary);
            v[i] = moves ? v[i] + common : common;
        }
    }

    private void FollowFloating(ComplexLanes* v)
    {
        var alias = _frame.Links.Alias;
        for (var i = _t.UnknownCount; _frame.Places > 0 && i < _t.Discard; i++)
        {
            if (alias[i] != i)
            {
                v[i] = v[alias[i]];
            }
        }
    }
}

using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

// Adjoints of the loaded readings, which Read needs and Adjoints hands out: kept until the next solve, for as long as the meters are the
// same.
public sealed unsafe partial class Workspace
{
    private readonly LaneMemory _adjointLanes = new();
    private Probe[] _adjointProbes = [];
    private double[] _resistances = [];
    private int _adjointCount;
    private bool _adjointsKnown;

    /// <summary>
    /// Change of each reading per ampere injected into each node, of the circuit as last solved: [probes x nodes], row by row. Entries of
    /// nodes with a fixed voltage are 0.
    /// </summary>
    public void Adjoints(ReadOnlySpan<Probe> probes, Span<double> perNode)
    {
        RequireSolution();
        FindAdjoints(probes);
        var nodes = _nodeRow.Length;
        for (var p = 0; p < probes.Length; p++)
        {
            var adjoint = (double*)AdjointLanes(p) + p % LaneMemory.Width;
            var row = perNode.Slice(p * nodes, nodes);
            for (var node = 0; node < nodes; node++)
            {
                row[node] = adjoint[_nodeRow[node] * LaneMemory.Width];
            }
        }
    }

    // The block of eight that a probe is in, by row.
    private Lanes* AdjointLanes(int probe) =>
        _adjointLanes.Start + probe / LaneMemory.Width * _t.IndexCount;

    private void FindAdjoints(ReadOnlySpan<Probe> probes)
    {
        if (_adjointsKnown && probes.SequenceEqual(_adjointProbes.AsSpan(0, _adjointCount)))
        {
            return;
        }
        PrepareRead();
        if (_adjointProbes.Length < probes.Length)
        {
            _adjointProbes = new Probe[probes.Length];
            _resistances = new double[probes.Length];
        }
        probes.CopyTo(_adjointProbes);
        _adjointCount = probes.Length;
        var blocks = (probes.Length + LaneMemory.Width - 1) / LaneMemory.Width;
        _adjointLanes.Reserve(blocks * _t.IndexCount);
        for (var first = 0; first < probes.Length; first += LaneMemory.Width)
        {
            var count = Math.Min(LaneMemory.Width, probes.Length - first);
            FindAdjoints(
                probes.Slice(first, count),
                AdjointLanes(first),
                _resistances.AsSpan(first, count)
            );
        }
        _adjointsKnown = true;
    }

    // Adjoints of up to eight loaded readings, by row, and the resistance that each meter sees.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void FindAdjoints(ReadOnlySpan<Probe> probes, Lanes* adjoints, Span<double> resistances)
    {
        var u = RightLanes;
        new Span<Lanes>(u, _t.IndexCount).Clear();
        for (var lane = 0; lane < probes.Length; lane++)
        {
            // A group that floats on a joint's unknown moves with it.
            At(u, _links.Alias[_nodeColumn[probes[lane].Positive]], lane) += 1;
            At(u, _links.Alias[_nodeColumn[probes[lane].Negative]], lane) -= 1;
        }
        SolveTransposed(u, adjoints);
        var factors = Lanes.One;
        for (var lane = 0; lane < probes.Length; lane++)
        {
            resistances[lane] =
                At(adjoints, _nodeRow[probes[lane].Positive], lane)
                - At(adjoints, _nodeRow[probes[lane].Negative], lane);
            At(&factors, 0, lane) = 1 / (1 + Load(probes[lane]) * resistances[lane]);
        }
        for (var i = 0; i < _t.UnknownCount; i++)
        {
            adjoints[i] *= factors;
        }
        for (var i = _t.FirstEdit; i < _t.FirstEdit + _places; i++)
        {
            adjoints[i] *= factors;
        }
    }
}

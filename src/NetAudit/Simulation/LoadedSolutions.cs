namespace NetAudit.Simulation;

/// <summary>
/// Where meters moved the circuit, so that what differentiates there need not settle it again. Buffers are reused.
/// </summary>
internal sealed unsafe class LoadedSolutions
{
    private Probe[] _probes = [];
    private double[] _solutions = [];
    private int _count;

    /// <summary>Forgets all: the circuit has changed.</summary>
    public void Clear() => _count = 0;

    /// <summary>Fills in the solution with that meter in the circuit, if it is known.</summary>
    /// <param name="probe">The meter.</param>
    /// <param name="solution">The unknowns, [length].</param>
    /// <param name="length">Their number.</param>
    public bool TryGet(in Probe probe, double* solution, int length)
    {
        for (var i = 0; i < _count; i++)
        {
            if (_probes[i] == probe)
            {
                _solutions.AsSpan(i * length, length).CopyTo(new(solution, length));
                return true;
            }
        }
        return false;
    }

    /// <summary>Keeps the solution with that meter in the circuit.</summary>
    /// <param name="probe">The meter.</param>
    /// <param name="solution">The unknowns, [length].</param>
    /// <param name="length">Their number, the same for every meter.</param>
    public void Add(in Probe probe, double* solution, int length)
    {
        if (_count == _probes.Length)
        {
            Array.Resize(ref _probes, _count + LaneMemory.Width);
        }
        if ((_count + 1) * length > _solutions.Length)
        {
            Array.Resize(ref _solutions, (_count + LaneMemory.Width) * length);
        }
        _probes[_count] = probe;
        new ReadOnlySpan<double>(solution, length).CopyTo(_solutions.AsSpan(_count++ * length));
    }
}

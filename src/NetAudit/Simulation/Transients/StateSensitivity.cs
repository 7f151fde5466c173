using System.Runtime.CompilerServices;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation.Transients;

/// <summary>
/// How the states at the end of a run move with those at its start, carried along step by step with the very factors the steps were
/// solved with: the method of T. J. Aprille and T. N. Trick, Proc. IEEE 60, 1972, p. 108. Directions go in blocks of eight lanes.
/// </summary>
internal sealed unsafe class StateSensitivity
{
    private const int Arrays = 6;

    private readonly Workspace _workspace;
    private readonly int _states;
    private readonly int _blocks;
    private readonly int _indices;
    private readonly LaneMemory _memory = new();

    public StateSensitivity(Workspace workspace)
    {
        _workspace = workspace;
        _states = workspace.StateCount;
        _blocks = (_states + LaneMemory.Width - 1) / LaneMemory.Width;
        _indices = workspace.Structure.IndexCount;
        _memory.Reserve(_blocks * Arrays * _states + 2 * _indices + _states);
    }

    // By block: charges and currents now, in the middle of the step, after it.
    private Lanes* Array(int block, int array) =>
        _memory.Start + (block * Arrays + array) * _states;

    private Lanes* Scratch => _memory.Start + _blocks * Arrays * _states;

    private Lanes* Moved => Scratch + _indices;

    private Lanes* Histories => Moved + _indices;

    /// <summary>Direction k is state k by the given amount.</summary>
    public void Begin(ReadOnlySpan<double> amounts)
    {
        new Span<Lanes>(_memory.Start, _blocks * Arrays * _states).Clear();
        for (var k = 0; k < _states; k++)
        {
            var charges = (double*)(Array(k / LaneMemory.Width, 0) + k);
            charges[k % LaneMemory.Width] = amounts[k];
        }
    }

    /// <summary>d(charge of a state now) by the direction.</summary>
    public double this[int state, int direction] =>
        ((double*)(Array(direction / LaneMemory.Width, 0) + state))[direction % LaneMemory.Width];

    /// <summary>After a stage by the implicit Euler rule.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Euler(double rate)
    {
        for (var block = 0; block < _blocks; block++)
        {
            var now = Array(block, 0);
            for (var i = 0; i < _states; i++)
            {
                Histories[i] = now[i] * -rate;
            }
            Finish(rate, Array(block, 4), Array(block, 5));
        }
    }

    /// <summary>After the first stage of a composite step.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void First(double rate)
    {
        for (var block = 0; block < _blocks; block++)
        {
            var charge = Array(block, 0);
            var current = Array(block, 1);
            for (var i = 0; i < _states; i++)
            {
                Histories[i] = charge[i] * -rate - current[i];
            }
            Finish(rate, Array(block, 2), Array(block, 3));
        }
    }

    /// <summary>After the second stage of a composite step.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Second(double rate)
    {
        var (old, middle) = (
            CompositeRule.SecondHistory(rate, 1, 0),
            CompositeRule.SecondHistory(rate, 0, 1)
        );
        for (var block = 0; block < _blocks; block++)
        {
            var before = Array(block, 0);
            var between = Array(block, 2);
            for (var i = 0; i < _states; i++)
            {
                Histories[i] = before[i] * old + between[i] * middle;
            }
            Finish(rate, Array(block, 4), Array(block, 5));
        }
    }

    /// <summary>The step counts: what was after it is now.</summary>
    public void Accept()
    {
        for (var block = 0; block < _blocks; block++)
        {
            new Span<Lanes>(Array(block, 4), 2 * _states).CopyTo(
                new Span<Lanes>(Array(block, 0), 2 * _states)
            );
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Finish(double rate, Lanes* charges, Lanes* currents)
    {
        _workspace.FollowHistories(Histories, Scratch, Moved);
        _workspace.FollowCharges(Moved, charges);
        for (var i = 0; i < _states; i++)
        {
            currents[i] = charges[i] * rate + Histories[i];
        }
    }
}

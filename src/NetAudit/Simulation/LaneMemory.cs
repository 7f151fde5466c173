using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

/// <summary>
/// A block of lanes that does not move and starts on a cache line. Grows when more is asked for, and then holds zeros.
/// </summary>
internal sealed unsafe class LaneMemory
{
    /// <summary>Meters worked on at once.</summary>
    public const int Width = 8;

    private double[] _block = [];
    private int _count;

    /// <summary>The first entry.</summary>
    public Lanes* Start { get; private set; }

    /// <summary>Makes room for a number of entries. Returns the first.</summary>
    public Lanes* Reserve(int count)
    {
        if (count > _count)
        {
            _block = GC.AllocateArray<double>((count + 1) * Width, pinned: true);
            _count = count;
            fixed (double* start = _block)
            {
                var bytes = (nuint)(Width * sizeof(double));
                Start = (Lanes*)(((nuint)start + bytes - 1) / bytes * bytes);
            }
        }
        return Start;
    }

    /// <summary>Writes entries as rows: lane k of entry i becomes <c>rows[k * count + i]</c>.</summary>
    public static void Transpose(Lanes* entries, int count, int lanes, Span<double> rows)
    {
        fixed (double* target = rows)
        {
            for (var lane = 0; lane < lanes; lane++)
            {
                var entry = (double*)entries + lane;
                var row = target + lane * count;
                for (var i = 0; i < count; i++)
                {
                    row[i] = entry[i * Width];
                }
            }
        }
    }
}

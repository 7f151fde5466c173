using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;
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
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Transpose(Lanes* entries, int count, int lanes, Span<double> rows)
    {
        fixed (double* target = rows)
        {
            var source = (double*)entries;
            var done = 0;
            if (Avx.IsSupported && lanes == Width)
            {
                for (; done + 4 <= count; done += 4)
                {
                    var tile = source + done * Width;
                    TransposeTile(tile, target + done, count);
                    TransposeTile(tile + 4, target + 4 * count + done, count);
                }
            }
            for (var lane = 0; lane < lanes; lane++)
            {
                for (var i = done; i < count; i++)
                {
                    target[lane * count + i] = source[i * Width + lane];
                }
            }
        }
    }

    // Four lanes of four entries.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void TransposeTile(double* source, double* target, int stride)
    {
        var (a, b) = (Vector256.Load(source), Vector256.Load(source + Width));
        var (c, d) = (Vector256.Load(source + 2 * Width), Vector256.Load(source + 3 * Width));
        var (evenLow, oddLow) = (Avx.UnpackLow(a, b), Avx.UnpackHigh(a, b));
        var (evenHigh, oddHigh) = (Avx.UnpackLow(c, d), Avx.UnpackHigh(c, d));
        const byte LowHalves = 0x20;
        const byte HighHalves = 0x31;
        Avx.Permute2x128(evenLow, evenHigh, LowHalves).Store(target);
        Avx.Permute2x128(oddLow, oddHigh, LowHalves).Store(target + stride);
        Avx.Permute2x128(evenLow, evenHigh, HighHalves).Store(target + 2 * stride);
        Avx.Permute2x128(oddLow, oddHigh, HighHalves).Store(target + 3 * stride);
    }
}

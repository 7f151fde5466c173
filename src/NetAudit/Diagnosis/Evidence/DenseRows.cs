using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace NetAudit.Diagnosis.Evidence;

/// <summary>The inner loops of every covariance.</summary>
/// <remarks>
/// Compiled with all optimisations at the first call. A library's generic ones would be compiled plainly at first, and a command that
/// answers within a second ends before they are compiled again.
/// </remarks>
internal static class DenseRows
{
    /// <summary>The scalar product of two rows of one length.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(b.Length, a.Length);
        ref var x = ref MemoryMarshal.GetReference(a);
        ref var y = ref MemoryMarshal.GetReference(b);
        var (i, length) = ((nuint)0, (nuint)a.Length);
        var lanes = (nuint)Vector<double>.Count;
        var (even, odd) = (Vector<double>.Zero, Vector<double>.Zero);
        for (; i + 2 * lanes <= length; i += 2 * lanes)
        {
            even += Vector.LoadUnsafe(ref x, i) * Vector.LoadUnsafe(ref y, i);
            odd += Vector.LoadUnsafe(ref x, i + lanes) * Vector.LoadUnsafe(ref y, i + lanes);
        }
        var sum = Vector.Sum(even + odd);
        for (; i < length; i++)
        {
            sum += Unsafe.Add(ref x, i) * Unsafe.Add(ref y, i);
        }
        return sum;
    }

    /// <summary>Adds a row times a factor to another of the same length.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void AddScaled(ReadOnlySpan<double> row, double factor, Span<double> to)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(to.Length, row.Length);
        ref var x = ref MemoryMarshal.GetReference(row);
        ref var y = ref MemoryMarshal.GetReference(to);
        var (i, length) = ((nuint)0, (nuint)row.Length);
        var lanes = (nuint)Vector<double>.Count;
        for (; i + lanes <= length; i += lanes)
        {
            var sum = Vector.LoadUnsafe(ref y, i) + factor * Vector.LoadUnsafe(ref x, i);
            sum.StoreUnsafe(ref y, i);
        }
        for (; i < length; i++)
        {
            Unsafe.Add(ref y, i) += factor * Unsafe.Add(ref x, i);
        }
    }

    /// <summary>Multiplies a row by a factor.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Scale(Span<double> row, double factor)
    {
        ref var x = ref MemoryMarshal.GetReference(row);
        var (i, length) = ((nuint)0, (nuint)row.Length);
        var lanes = (nuint)Vector<double>.Count;
        for (; i + lanes <= length; i += lanes)
        {
            (factor * Vector.LoadUnsafe(ref x, i)).StoreUnsafe(ref x, i);
        }
        for (; i < length; i++)
        {
            Unsafe.Add(ref x, i) *= factor;
        }
    }
}

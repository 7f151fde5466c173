using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector512<double>;

namespace NetAudit.Simulation;

/// <summary>Eight complex numbers, one a lane.</summary>
internal readonly struct ComplexLanes(Lanes real, Lanes imaginary)
{
    public readonly Lanes Real = real;
    public readonly Lanes Imaginary = imaginary;

    /// <summary>The same number in every lane.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes All(double real, double imaginary) =>
        new(Vector512.Create(real), Vector512.Create(imaginary));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator +(ComplexLanes a, ComplexLanes b) =>
        new(a.Real + b.Real, a.Imaginary + b.Imaginary);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator -(ComplexLanes a, ComplexLanes b) =>
        new(a.Real - b.Real, a.Imaginary - b.Imaginary);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator -(ComplexLanes a) => new(-a.Real, -a.Imaginary);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator *(ComplexLanes a, ComplexLanes b) =>
        new(
            a.Real * b.Real - a.Imaginary * b.Imaginary,
            a.Real * b.Imaginary + a.Imaginary * b.Real
        );

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ComplexLanes operator *(double factor, ComplexLanes a) =>
        new(factor * a.Real, factor * a.Imaginary);

    /// <summary>The number times i and a real factor.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public ComplexLanes Turned(double factor) => new(-factor * Imaginary, factor * Real);
}

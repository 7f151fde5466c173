using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Audits.Variants;

/// <summary>Names and values of variants and their parts, as reports and pages show them. Thread-safe.</summary>
public static class VariantNames
{
    /// <summary>Matches less probable than this are pointed out.</summary>
    public const double Sure = 0.9;

    // What is less comes from rounding.
    private const double Rounding = 1e-9;

    /// <summary>A to Z, then numbers.</summary>
    public static string Letter(int variant) =>
        variant < 26
            ? ((char)('A' + variant)).ToString()
            : (variant + 1).ToString(CultureInfo.InvariantCulture);

    /// <summary><c>R3</c>, or <c>XV1A (V1)</c> where the part is called otherwise.</summary>
    public static string Of(VariantUnit unit)
    {
        ArgumentNullException.ThrowIfNull(unit);
        return unit.Name == unit.Part ? unit.Name : $"{unit.Name} ({unit.Part})";
    }

    /// <summary>Value or type of a unit: <c>100 kΩ</c>, <c>12AX7</c>.</summary>
    public static string Look(VariantUnit? unit) =>
        unit switch
        {
            null => "-",
            { Value: { } value } => EngineeringNotation.Format(value, unit.Unit),
            { Type: { } type } => type,
            _ => "present",
        };

    /// <summary>A stress, <c>15.9 W</c>; <c>-</c> where a variant has no such part.</summary>
    public static string Look(StressLevel? level, string unit) =>
        level switch
        {
            null => "-",
            { Value: < Rounding } => $"0 {unit}",
            { Value: var value } => EngineeringNotation.Format(value, unit, 3),
        };

    /// <summary>A stress as a part of its limit, <c>64 %</c>; empty where none is known.</summary>
    public static string OfLimit(StressLevel? level) =>
        level?.Ratio is { } ratio
            ? (100 * ratio).ToString("0", CultureInfo.InvariantCulture) + " %"
            : "";
}

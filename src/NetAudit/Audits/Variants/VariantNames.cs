using System.Globalization;
using NetAudit.Common;

namespace NetAudit.Audits.Variants;

/// <summary>Names and values of variants and their parts, as reports and pages show them. Thread-safe.</summary>
public static class VariantNames
{
    /// <summary>Matches less probable than this are pointed out.</summary>
    public const double Sure = 0.9;

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
}

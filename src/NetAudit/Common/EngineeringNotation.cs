using System.Globalization;

namespace NetAudit.Common;

/// <summary>
/// Numbers as people at a bench write them: <c>4.7k</c>, <c>22u</c>, <c>2M2</c>. Here <c>m</c> is milli and <c>M</c> mega,
/// as on parts and meters; a SPICE netlist has its own rule (<c>M</c> is milli there) in its own reader.
/// Always culture-invariant. Thread-safe.
/// </summary>
public static class EngineeringNotation
{
    private const string Prefixes = "fpnum kMGT";
    private const int UnityIndex = 5;

    /// <summary>Formats a value with an SI prefix: <c>4.7k</c>, or <c>4.7 kΩ</c> when a unit is given.</summary>
    /// <param name="value">The value in base SI units; infinities and NaN are written as words.</param>
    /// <param name="unit">Unit symbol, or null for the compact form without a space.</param>
    /// <param name="digits">Significant digits, 1 to 15.</param>
    public static string Format(double value, string? unit = null, int digits = 4)
    {
        if (double.IsNaN(value))
        {
            return "unknown";
        }
        if (double.IsInfinity(value))
        {
            return value > 0 ? "infinite" : "-infinite";
        }
        var rounded = RoundSignificant(value, digits);
        var exponent =
            rounded == 0 ? 0 : (int)Math.Floor(Math.Log10(Math.Abs(rounded)) / 3 + 1e-12);
        exponent = Math.Clamp(exponent, -UnityIndex, Prefixes.Length - UnityIndex - 1);
        var mantissa = RoundSignificant(rounded / Math.Pow(1000, exponent), digits);
        var prefix = exponent == 0 ? "" : Prefixes[exponent + UnityIndex].ToString();
        var number = mantissa.ToString("0.###############", CultureInfo.InvariantCulture);
        return unit is null ? number + prefix : $"{number} {prefix}{unit}";
    }

    /// <summary>
    /// Reads a number with an optional SI prefix and unit: <c>182</c>, <c>1.2k</c>, <c>4k7</c>, <c>22uF</c>, <c>-38V</c>,
    /// <c>2M2</c>, <c>100R</c>. False when the text is none of these.
    /// </summary>
    /// <param name="text">The text; surrounding blanks are ignored; a comma is not a decimal point.</param>
    /// <param name="value">The value in base SI units.</param>
    public static bool TryParse(ReadOnlySpan<char> text, out double value)
    {
        value = 0;
        text = text.Trim();
        var length = NumberLength(text);
        if (
            length == 0
            || !double.TryParse(
                text[..length],
                NumberStyles.Float,
                CultureInfo.InvariantCulture,
                out var number
            )
        )
        {
            return false;
        }
        var rest = text[length..];
        if (rest.Length > 0 && rest[0] == ' ')
        {
            rest = rest.TrimStart();
        }
        var scale = 1.0;
        if (rest.Length > 0 && Scale(rest[0]) is { } found)
        {
            scale = found;
            rest = rest[1..];
            // 4k7: the prefix stands for the decimal point, so only digits may follow, and none may stand before it but whole ones.
            var fraction = DigitCount(rest);
            if (fraction > 0)
            {
                if (text[..length].IndexOfAny(".eE") >= 0)
                {
                    return false;
                }
                var decimals =
                    double.Parse(rest[..fraction], CultureInfo.InvariantCulture)
                    / Math.Pow(10, fraction);
                number += text[0] == '-' ? -decimals : decimals;
                rest = rest[fraction..];
            }
        }
        value = number * scale;
        return IsUnit(rest) && double.IsFinite(value);
    }

    private static double? Scale(char prefix) =>
        prefix switch
        {
            'R' => 1,
            'f' => 1e-15,
            'p' => 1e-12,
            'n' => 1e-9,
            'u' or 'µ' or 'μ' => 1e-6,
            'm' => 1e-3,
            'k' or 'K' => 1e3,
            'M' => 1e6,
            'G' => 1e9,
            'T' => 1e12,
            _ => null,
        };

    private static bool IsUnit(ReadOnlySpan<char> rest) =>
        rest.Trim()
            is ""
                or "V"
                or "v"
                or "A"
                or "F"
                or "H"
                or "W"
                or "Hz"
                or "Ω"
                or "ohm"
                or "ohms"
                or "Ohm"
                or "Vdc"
                or "Vac";

    private static int NumberLength(ReadOnlySpan<char> text)
    {
        var at = text.Length > 0 && text[0] is '+' or '-' ? 1 : 0;
        var digits = DigitCount(text[at..]);
        at += digits;
        if (at < text.Length && text[at] == '.')
        {
            var after = DigitCount(text[(at + 1)..]);
            digits += after;
            at += 1 + after;
        }
        if (digits == 0)
        {
            return 0;
        }
        if (at < text.Length && text[at] is 'e' or 'E')
        {
            var sign = at + 1 < text.Length && text[at + 1] is '+' or '-' ? 1 : 0;
            var power = DigitCount(text[Math.Min(text.Length, at + 1 + sign)..]);
            at += power > 0 ? 1 + sign + power : 0;
        }
        return at;
    }

    private static int DigitCount(ReadOnlySpan<char> text)
    {
        var count = 0;
        while (count < text.Length && char.IsAsciiDigit(text[count]))
        {
            count++;
        }
        return count;
    }

    /// <summary>The nearest number of that many significant digits.</summary>
    internal static double RoundSignificant(double value, int digits)
    {
        if (value == 0)
        {
            return 0;
        }
        var text = value.ToString("E" + (digits - 1), CultureInfo.InvariantCulture);
        return double.Parse(text, CultureInfo.InvariantCulture);
    }
}

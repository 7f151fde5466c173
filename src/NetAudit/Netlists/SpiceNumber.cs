using System.Globalization;

namespace NetAudit.Netlists;

/// <summary>How a number was written, for advice about slips.</summary>
internal enum NumberStyle
{
    /// <summary>Digits with or without suffix and unit letters.</summary>
    Plain,

    /// <summary>With the suffix <c>M</c>, which is milli in SPICE and mega on paper.</summary>
    Milli,

    /// <summary>With the suffix <c>F</c>, which is femto in SPICE and the farad on paper.</summary>
    Femto,

    /// <summary>With a letter in the decimal point's place, as IEC 60062 marks parts: <c>4k7</c>.</summary>
    LetterCode,
}

/// <summary>
/// Numbers of a netlist. Scale suffixes T G MEG K MIL M U N P F without regard to case, further letters ignored (SPICE3 user manual,
/// section 2.1); and the letter codes of IEC 60062, where an upper-case <c>M</c> before digits is mega: <c>2M2</c> is 2.2e6, <c>2M</c>
/// 2e-3. Thread-safe, culture-invariant.
/// </summary>
internal static class SpiceNumber
{
    private const int LongestExact = 40;

    /// <summary>Reads a whole word as a number. False when it is something else, or not finite.</summary>
    /// <param name="text">The word, without blanks around it.</param>
    /// <param name="value">The value in base units.</param>
    /// <param name="style">How it was written.</param>
    public static bool TryParse(ReadOnlySpan<char> text, out double value, out NumberStyle style)
    {
        value = 0;
        style = NumberStyle.Plain;
        var length = MantissaLength(text, out var plainDigits);
        if (
            length == 0
            || !double.TryParse(
                text[..length],
                NumberStyles.Float,
                CultureInfo.InvariantCulture,
                out value
            )
        )
        {
            return false;
        }
        var rest = text[length..];
        if (rest.Length == 0)
        {
            return double.IsFinite(value);
        }
        var (scale, letters) = Suffix(rest);
        var tail = rest[letters..];
        if (letters == 1 && tail.Length > 0 && char.IsAsciiDigit(tail[0]))
        {
            return plainDigits
                && TryLetterCode(text[..length], rest[0], tail, out value, out style);
        }
        if (letters == 1)
        {
            style = rest[0] switch
            {
                'm' or 'M' => NumberStyle.Milli,
                'f' or 'F' => NumberStyle.Femto,
                _ => NumberStyle.Plain,
            };
        }
        value = Scaled(text[..length], value, rest[..letters], scale);
        return OnlyLetters(tail) && double.IsFinite(value);
    }

    /// <summary>The number times its suffix, as the double nearest to it: 25u is 25e-6, not 25 times the double nearest to 1e-6.</summary>
    private static double Scaled(
        ReadOnlySpan<char> mantissa,
        double value,
        ReadOnlySpan<char> suffix,
        double scale
    )
    {
        const int roomForExponent = 4;
        Span<char> text = stackalloc char[LongestExact + roomForExponent];
        if (
            scale == 1
            || suffix.Equals("mil", StringComparison.OrdinalIgnoreCase)
            || mantissa.Length > LongestExact
            || mantissa.IndexOfAny('e', 'E') >= 0
        )
        {
            return value * scale;
        }
        mantissa.CopyTo(text);
        text[mantissa.Length] = 'e';
        var exponent = (int)Math.Round(Math.Log10(scale));
        _ = exponent.TryFormat(
            text[(mantissa.Length + 1)..],
            out var written,
            provider: CultureInfo.InvariantCulture
        );
        return double.Parse(text[..(mantissa.Length + 1 + written)], CultureInfo.InvariantCulture);
    }

    /// <summary>Reads a letter code without digits before the letter: <c>R47</c>, <c>n47</c>. False for anything else.</summary>
    public static bool TryParseLeadingLetter(ReadOnlySpan<char> text, out double value)
    {
        value = 0;
        return text.Length > 1
            && char.IsAsciiDigit(text[1])
            && TryLetterCode("0", text[0], text[1..], out value, out _);
    }

    /// <summary>The letters of IEC 60062 in the decimal point's place. Here the case of M counts.</summary>
    private static bool TryLetterCode(
        ReadOnlySpan<char> whole,
        char letter,
        ReadOnlySpan<char> tail,
        out double value,
        out NumberStyle style
    )
    {
        style = NumberStyle.LetterCode;
        value = 0;
        var digits = 0;
        while (digits < tail.Length && char.IsAsciiDigit(tail[digits]))
        {
            digits++;
        }
        var scale = letter switch
        {
            'R' or 'r' => 1,
            'M' => 1e6,
            // 1 F, not the femto of SPICE: the letter codes have no femto.
            'F' => 1,
            _ => Suffix([letter]) is (not 1.0, 1) suffix ? suffix.Scale : 0,
        };
        if (scale == 0 || digits > 15 || !OnlyLetters(tail[digits..]))
        {
            return false;
        }
        // Put together as text, so that 4k7 is the double nearest to 4.7 thousand.
        var decimals = $"{whole}.{tail[..digits]}";
        value = Scaled(
            decimals,
            double.Parse(decimals, CultureInfo.InvariantCulture),
            [letter],
            scale
        );
        return double.IsFinite(value);
    }

    private static (double Scale, int Letters) Suffix(ReadOnlySpan<char> rest)
    {
        if (rest.StartsWith("meg", StringComparison.OrdinalIgnoreCase))
        {
            return (1e6, 3);
        }
        if (rest.StartsWith("mil", StringComparison.OrdinalIgnoreCase))
        {
            return (25.4e-6, 3);
        }
        return rest[0] switch
        {
            't' or 'T' => (1e12, 1),
            'g' or 'G' => (1e9, 1),
            'k' or 'K' => (1e3, 1),
            'm' or 'M' => (1e-3, 1),
            'u' or 'U' or 'µ' or 'μ' => (1e-6, 1),
            'n' or 'N' => (1e-9, 1),
            'p' or 'P' => (1e-12, 1),
            'f' or 'F' => (1e-15, 1),
            'r' or 'R' => (1, 1),
            _ => (1, 0),
        };
    }

    private static bool OnlyLetters(ReadOnlySpan<char> text)
    {
        foreach (var c in text)
        {
            if (!char.IsLetter(c) && c != '_')
            {
                return false;
            }
        }
        return true;
    }

    private static int MantissaLength(ReadOnlySpan<char> text, out bool plainDigits)
    {
        var at = text.Length > 0 && text[0] is '+' or '-' ? 1 : 0;
        var first = at;
        at = SkipDigits(text, at);
        var digits = at - first;
        plainDigits = digits > 0;
        if (at < text.Length && text[at] == '.')
        {
            plainDigits = false;
            var afterPoint = SkipDigits(text, at + 1);
            digits += afterPoint - at - 1;
            at = afterPoint;
        }
        if (digits == 0)
        {
            return 0;
        }
        if (at < text.Length && text[at] is 'e' or 'E')
        {
            var sign = at + 1 < text.Length && text[at + 1] is '+' or '-' ? 1 : 0;
            var end = SkipDigits(text, at + 1 + sign);
            if (end > at + 1 + sign)
            {
                plainDigits = false;
                at = end;
            }
        }
        return at;
    }

    private static int SkipDigits(ReadOnlySpan<char> text, int at)
    {
        while (at < text.Length && char.IsAsciiDigit(text[at]))
        {
            at++;
        }
        return at;
    }
}

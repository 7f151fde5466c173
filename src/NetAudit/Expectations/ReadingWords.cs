using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>Readings in words: values with their unit, places with kind and condition. Culture-invariant, thread-safe.</summary>
public static class ReadingWords
{
    /// <summary>What a meter shows, and a readings file holds, above its range.</summary>
    public const string OverRange = "OL";

    /// <summary>Significant digits of levels and resistances.</summary>
    private const int Digits = 3;

    /// <summary>A lower level is noise, volts RMS.</summary>
    private const double LeastVolts = 1e-5;

    /// <summary>A value with its unit: <c>182.0 V</c>, <c>12.3 mV</c>, <c>4.7 kΩ</c>, <c>OL</c>.</summary>
    /// <param name="kind">Its kind; a level is volts RMS.</param>
    /// <param name="value">Volts or ohms; infinite is over-range.</param>
    public static string Value(ReadingKind kind, double value) =>
        double.IsNaN(value) ? "unknown"
        : kind == ReadingKind.Ohms ? Ohms(value)
        : double.IsInfinity(value) ? OverRange
        : kind == ReadingKind.Dc ? $"{MeterText.Volts(value)} V"
        : EngineeringNotation.Format(value < LeastVolts ? 0 : value, "V", Digits);

    /// <summary>A value in a row of like values: volts DC stand without their unit.</summary>
    /// <param name="kind">Its kind.</param>
    /// <param name="value">Volts or ohms.</param>
    public static string Bare(ReadingKind kind, double value) =>
        kind == ReadingKind.Dc && double.IsFinite(value)
            ? MeterText.Volts(value)
            : Value(kind, value);

    /// <summary>An expected value with its limits: <c>182.0 (165.1 to 199.4)</c>.</summary>
    public static string Limits(ReadingKind kind, double mean, double low, double high) =>
        $"{Bare(kind, mean)} ({Bare(kind, low)} to {Bare(kind, high)})";

    /// <summary>What was written down: the value, or an observation's word.</summary>
    public static string Measured(Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return reading.Word ?? Value(reading.Kind, reading.Value);
    }

    /// <summary>Where a reading was taken: <c>p1</c>, <c>p1 to k1</c>, <c>out AC, Volume=0.7</c>.</summary>
    public static string Place(Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return Place(reading.At, reading.Ref, reading.Kind, reading.Condition);
    }

    /// <summary>A place with its kind and condition; what is usual (volts DC, powered normally, ohms with the power off) is not said.</summary>
    /// <param name="at">Where.</param>
    /// <param name="reference">Against what; null for chassis.</param>
    /// <param name="kind">What is measured or done.</param>
    /// <param name="condition">The condition.</param>
    public static string Place(string at, string? reference, ReadingKind kind, Condition condition)
    {
        ArgumentNullException.ThrowIfNull(condition);
        var place = reference is null ? at : $"{at} to {reference}";
        var what = kind switch
        {
            ReadingKind.Dc => "",
            ReadingKind.Ac => " AC",
            _ => " " + Name(kind),
        };
        var rest =
            kind == ReadingKind.Ohms
                ? Condition.Of(condition.Terms.Where(term => term is not PowerOff))
                : condition;
        return rest.Terms.IsEmpty ? place + what : $"{place}{what}, {rest}";
    }

    /// <summary>The name of a kind in a readings file.</summary>
    public static string Name(this ReadingKind kind) => EnumName.Of(kind);

    private static string Ohms(double value) =>
        value >= RowScale.MostOhms ? OverRange : EngineeringNotation.Format(value, "Ω", Digits);
}

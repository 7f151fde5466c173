using NetAudit.Expectations;

namespace NetAudit.Bench.Entry;

/// <summary>Measured values as the page shows them.</summary>
public static class ReadingText
{
    /// <summary>A value without its unit where it is volts DC, with it otherwise.</summary>
    public static string Value(ReadingKind kind, double value) =>
        double.IsNaN(value) ? "" : ReadingWords.Bare(kind, value);

    /// <summary>A reading's value or word.</summary>
    public static string Value(Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return reading.Word ?? Value(reading.Kind, reading.Value);
    }
}

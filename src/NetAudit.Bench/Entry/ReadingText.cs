using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Bench.Entry;

/// <summary>Measured values as the page shows them.</summary>
public static class ReadingText
{
    /// <summary>A value without its unit where it is volts DC, with it otherwise.</summary>
    public static string Value(ReadingKind kind, double value) =>
        double.IsPositiveInfinity(value) ? "OL"
        : double.IsNaN(value) ? ""
        : kind switch
        {
            ReadingKind.Ohms => EngineeringNotation.Format(value, "Ω", 3),
            ReadingKind.Ac => EngineeringNotation.Format(value, "V", 3),
            _ => MeterText.Volts(value),
        };

    /// <summary>A reading's value or word.</summary>
    public static string Value(Reading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return reading.Word ?? Value(reading.Kind, reading.Value);
    }
}

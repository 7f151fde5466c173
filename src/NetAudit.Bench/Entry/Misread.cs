using NetAudit.Expectations;

namespace NetAudit.Bench.Entry;

/// <summary>Finds readings that look as if the meter was misread: a decimal point, a range, a sign.</summary>
public static class Misread
{
    /// <summary>A reading nearer than this to what is expected is not doubted, standard deviations.</summary>
    private const double Doubtful = 6;

    /// <summary>What was meant must lie this near to what is expected, standard deviations.</summary>
    private const double Near = 2.5;

    private static readonly double[] Slips = [0.1, 10, -1, 0.01, 100, 0.001, 1000];

    /// <summary>What was probably meant, or null when the reading may well be right.</summary>
    public static double? Meant(Reading reading, ExpectedReading? expected)
    {
        ArgumentNullException.ThrowIfNull(reading);
        if (
            expected is null
            || !double.IsFinite(reading.Value)
            || reading.Value == 0
            // About zero every power of ten looks right.
            || Math.Abs(expected.Deviation(0)) < Doubtful
            || Distance(reading.Value, expected) < Doubtful
        )
        {
            return null;
        }
        foreach (var slip in Slips)
        {
            // Only volts DC have a sign.
            if (
                (slip > 0 || reading.Kind == ReadingKind.Dc)
                && Distance(reading.Value * slip, expected) < Near
            )
            {
                return double.Parse(
                    (reading.Value * slip).ToString(
                        "G6",
                        System.Globalization.CultureInfo.InvariantCulture
                    ),
                    System.Globalization.CultureInfo.InvariantCulture
                );
            }
        }
        return null;
    }

    private static double Distance(double value, ExpectedReading expected) =>
        Math.Abs(expected.Deviation(value));
}

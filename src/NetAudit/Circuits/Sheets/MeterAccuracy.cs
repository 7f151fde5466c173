namespace NetAudit.Circuits.Sheets;

/// <summary>How true a meter's readings are. Limits, not one sigma.</summary>
/// <param name="OfReading">Largest error as a fraction of the reading, 0 or more; shared by all readings of the function.</param>
/// <param name="Counts">Largest error of one reading in counts of its last digit, 0 or more.</param>
/// <param name="Digits">Counts of full scale, 4000 for a display up to 3999; above 0.</param>
public readonly record struct MeterAccuracy(double OfReading, double Counts, double Digits)
{
    // Below this the ranges of hand-held meters end: a 4000-count meter shows 0.1 mV on its 400 mV range (common practice, no source).
    private const double FinestCount = 1e-4;

    /// <summary>One count of the last digit, in the unit of the reading: ranges step by ten, the lowest that holds the reading is used.</summary>
    public double CountSize(double reading)
    {
        var size = FinestCount;
        while (size * Digits < Math.Abs(reading) && size < 1e12)
        {
            size *= 10;
        }
        return size;
    }
}

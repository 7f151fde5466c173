namespace NetAudit.Expectations;

/// <summary>
/// The scale on which readings of each kind are compared: volts DC as they are; levels and resistances by ratio, with an end where the
/// meter's range ends. On these scales spreads are nearly Gaussian and the effects of distant faults nearly add.
/// </summary>
internal static class RowScale
{
    /// <summary>Below about this level in volts RMS noise and stray coupling count: the scale turns from ratios to volts.</summary>
    public const double NoiseFloor = 2e-3;

    /// <summary>Above this a meter shows over-range: ohms of a common hand-held meter.</summary>
    public const double MostOhms = 40e6;

    private const double Endless = 100 * MostOhms;

    /// <summary>Ohms of leads and contacts.</summary>
    public const double LeadOhms = 0.3;

    /// <summary>The value of a reading on its scale.</summary>
    /// <param name="row">The reading.</param>
    /// <param name="value">Volts or ohms; ohms may be infinite.</param>
    public static double Of(in Row row, double value) =>
        row.Kind switch
        {
            ReadingKind.Ac => Math.Asinh(value / row.LevelFloor),
            ReadingKind.Ohms => Math.Log(Shown(value) + LeadOhms),
            _ => value,
        };

    /// <summary>The reading at a place on the scale; a level without its sign.</summary>
    public static double Value(in Row row, double place) =>
        row.Kind switch
        {
            ReadingKind.Ac => row.LevelFloor * Math.Sinh(Math.Abs(place)),
            ReadingKind.Ohms => Unshown(Math.Exp(place) - LeadOhms),
            _ => place,
        };

    /// <summary>The readings between two places on the scale; levels across a null start at 0.</summary>
    public static (double Low, double High) Range(in Row row, double low, double high)
    {
        var (first, last) = (Value(row, low), Value(row, high));
        return row.Kind != ReadingKind.Ac || low > 0 ? (first, last)
            : high < 0 ? (last, first)
            : (0, Math.Max(first, last));
    }

    /// <summary>Slope of the scale: d(place)/d(value).</summary>
    public static double Slope(in Row row, double value)
    {
        switch (row.Kind)
        {
            case ReadingKind.Ac:
                return 1 / Math.Sqrt(value * value + row.LevelFloor * row.LevelFloor);
            case ReadingKind.Ohms:
                var bend = Bend(value);
                return Math.Pow(bend, -1.25) / (Shown(value) + LeadOhms);
            default:
                return 1;
        }
    }

    // Whatever lies well beyond the range shows the same; up to its end a resistance is itself. Between, rounded off: derivatives lead on.
    private static double Shown(double ohms) =>
        ohms > Endless ? MostOhms : Math.Max(0, ohms) / Math.Pow(Bend(ohms), 0.25);

    private static double Bend(double ohms) => 1 + Math.Pow(Math.Max(0, ohms) / MostOhms, 4);

    private static double Unshown(double shown) =>
        shown >= 0.999 * MostOhms
            ? double.PositiveInfinity
            : Math.Max(0, shown) / Math.Pow(1 - Math.Pow(Math.Max(0, shown) / MostOhms, 4), 0.25);
}

namespace NetAudit.Circuits.Sheets;

/// <summary>Which numbers a key of a sheet takes.</summary>
/// <param name="Words">The range in words, to follow "a value".</param>
/// <param name="Holds">Whether a number lies in it.</param>
internal sealed record NumberRange(string Words, Func<double, bool> Holds)
{
    public static NumberRange Any { get; } = new("of any size", _ => true);

    public static NumberRange Positive { get; } = new("above 0", value => value > 0);

    public static NumberRange NotNegative { get; } = new("of 0 or more", value => value >= 0);

    /// <summary>A deviation as a fraction: a whole nominal value or more is a slip for per cent.</summary>
    public static NumberRange Fraction { get; } =
        new("from 0 up to below 1 (0.05 is 5 %)", value => value is >= 0 and < 1);

    /// <summary>Ohms of a signal source: none or thousands of megohms are slips.</summary>
    public static NumberRange SourceOhms { get; } =
        new("from 1 mΩ to 100 MΩ", value => value is >= 1e-3 and <= 1e8);

    /// <summary>Farads of a capacitor: a whole farad is a slip for a microfarad.</summary>
    public static NumberRange SmallFarads { get; } =
        new("from 1 pF to 0.1 F", value => value is >= 1e-12 and <= 0.1);

    public static NumberRange SignedFraction { get; } =
        new("above -1 up to 10 (0.05 is 5 %)", value => value is > -1 and <= 10);
}

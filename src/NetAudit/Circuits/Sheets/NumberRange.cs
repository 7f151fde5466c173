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

    public static NumberRange SignedFraction { get; } =
        new("above -1 up to 10 (0.05 is 5 %)", value => value is > -1 and <= 10);
}

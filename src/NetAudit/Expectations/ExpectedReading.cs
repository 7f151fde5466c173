using NetAudit.Circuits;

namespace NetAudit.Expectations;

/// <summary>What the meter shows at a place of a healthy unit, the meter's load included.</summary>
/// <param name="Point">The point; of a resistance across a part that at its first end.</param>
/// <param name="Mean">Expected reading: volts DC, volts RMS or ohms; ohms may be infinite. NaN when nothing is known.</param>
/// <param name="Sigma">
/// Standard deviation over healthy units and meters: volts of a DC reading; of a level (well above noise) or a resistance a fraction.
/// </param>
public sealed record ExpectedReading(Point Point, double Mean, double Sigma)
{
    /// <summary>95 % of a normal distribution lies within this many standard deviations.</summary>
    internal const double Limits95 = 1.96;

    /// <summary>Volts DC, volts RMS or ohms.</summary>
    public ReadingKind Kind => Row.Kind;

    /// <summary>The condition.</summary>
    public Condition Condition { get; init; } = Condition.Normal;

    /// <summary>The part, or element of one, across which it is read; null at a point against chassis.</summary>
    public string? Across { get; init; }

    /// <summary>Node of the other probe; 0 is chassis.</summary>
    public int RefNode => Row.RefNode;

    /// <summary>What the meter is at.</summary>
    internal Row Row { get; init; }

    /// <summary>The mean on the scale of its kind, where a level near a null has a sign; null when it has none.</summary>
    internal double? Place { get; init; }

    /// <summary>Lower 95 % limit, volts or ohms.</summary>
    public double Low => Limits.Low;

    /// <summary>Upper 95 % limit, volts or ohms; infinite is over-range.</summary>
    public double High => Limits.High;

    /// <summary>Where, as a readings file takes it: the part, or the point's short name.</summary>
    public string At(Amplifier amplifier) => Across ?? Point.ShortName(amplifier);

    /// <summary>Whether a value lies within the limits.</summary>
    /// <param name="value">Volts or ohms; infinite is over-range.</param>
    public bool Holds(double value) => value >= Low && value <= High;

    /// <summary>How far a value lies from the mean in standard deviations, on the scale of its kind: levels and ohms by ratio.</summary>
    /// <param name="value">Volts or ohms; infinite is over-range.</param>
    public double Deviation(double value)
    {
        // A meter shows no sign of a level.
        var mean = Place is { } place && Kind != ReadingKind.Ac ? place : RowScale.Of(Row, Mean);
        return (RowScale.Of(Row, value) - mean) / Sigma;
    }

    private (double Low, double High) Limits
    {
        get
        {
            var place = Place ?? RowScale.Of(Row, Mean);
            return RowScale.Range(Row, place - Limits95 * Sigma, place + Limits95 * Sigma);
        }
    }
}

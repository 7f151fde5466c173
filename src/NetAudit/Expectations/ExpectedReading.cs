using NetAudit.Circuits;

namespace NetAudit.Expectations;

/// <summary>What the meter shows at a point of a healthy unit. Volts DC against chassis, the meter's load included.</summary>
/// <param name="Point">The point.</param>
/// <param name="Mean">Expected reading, volts.</param>
/// <param name="Sigma">Standard deviation over healthy units and meters, volts.</param>
public sealed record ExpectedReading(Point Point, double Mean, double Sigma)
{
    /// <summary>95 % of a normal distribution lies within this many standard deviations.</summary>
    internal const double Limits95 = 1.96;

    /// <summary>Lower 95 % limit, volts.</summary>
    public double Low => Mean - Limits95 * Sigma;

    /// <summary>Upper 95 % limit, volts.</summary>
    public double High => Mean + Limits95 * Sigma;
}

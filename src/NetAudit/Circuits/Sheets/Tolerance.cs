namespace NetAudit.Circuits.Sheets;

/// <summary>How far a figure of a healthy unit may lie from its nominal value.</summary>
/// <param name="Low">Lowest deviation, a fraction of nominal or volts as the key says; not above <paramref name="High"/>.</param>
/// <param name="High">Highest deviation, in the same unit.</param>
/// <param name="IsSigma">
/// True when <paramref name="High"/> is one standard deviation of a normal spread (and <paramref name="Low"/> its negative);
/// false when the two are limits with every value between them equally likely.
/// </param>
public readonly record struct Tolerance(double Low, double High, bool IsSigma)
{
    /// <summary>Limits of plus and minus the same amount.</summary>
    public static Tolerance Within(double limit) => new(-limit, limit, IsSigma: false);

    /// <summary>A normal spread of the given standard deviation.</summary>
    public static Tolerance OneSigma(double sigma) => new(-sigma, sigma, IsSigma: true);

    /// <summary>Standard deviation. That of a uniform distribution between limits is their distance over √12.</summary>
    public double Sigma => IsSigma ? High : (High - Low) / Math.Sqrt(12);

    /// <summary>Mean deviation: not zero for one-sided limits such as those of an electrolytic.</summary>
    public double Mean => (Low + High) / 2;
}

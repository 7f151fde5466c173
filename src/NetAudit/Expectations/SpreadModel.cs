using System.Collections.Immutable;

namespace NetAudit.Expectations;

/// <summary>
/// One independent thing that differs between healthy units: a resistor's value, a tube section's emission, the wall voltage.
/// Its amount z is in standard deviations.
/// </summary>
/// <param name="Name">For messages: <c>R3</c>, <c>XV1A emission</c>, <c>wall voltage</c>.</param>
/// <param name="Sigma">One sigma: relative (of the nominal value) for a factor, else in the parameter's unit.</param>
/// <param name="IsFactor">True when the parameter is nominal x exp(Sigma z), false when it is nominal + Sigma z.</param>
/// <param name="Parameters">The solver parameters that move together.</param>
internal sealed record SpreadTerm(
    string Name,
    double Sigma,
    bool IsFactor,
    ImmutableArray<int> Parameters
)
{
    /// <summary>The tube whose own spread it is, or null.</summary>
    public string? Tube { get; init; }

    /// <summary>True for the wall voltage.</summary>
    public bool IsMains { get; init; }
}

/// <summary>Everything that differs between healthy units of one circuit, as independent terms. Immutable.</summary>
/// <param name="Terms">The terms; the meter's gain error is apart.</param>
internal sealed record SpreadModel(ImmutableArray<SpreadTerm> Terms);

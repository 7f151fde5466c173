namespace NetAudit.Diagnosis;

/// <summary>A part that a fault elsewhere has overloaded, at rest and before any fuse saved it.</summary>
/// <param name="Part">The part: a tube for any of its sections, a transformer for any winding.</param>
/// <param name="What">What was too much, <c>plate power</c>.</param>
/// <param name="Unit">SI unit of the values.</param>
/// <param name="Value">Value with the fault.</param>
/// <param name="Limit">Limit of the sheet or the data sheet.</param>
public sealed record OverloadedPart(
    string Part,
    string What,
    string Unit,
    double Value,
    double Limit
)
{
    /// <summary>The value as a fraction of the limit; above 1.</summary>
    public double Ratio => Value / Limit;
}

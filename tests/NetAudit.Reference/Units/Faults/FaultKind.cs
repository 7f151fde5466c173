namespace NetAudit.Reference.Units.Faults;

/// <summary>One kind of fault of one part, whose value is still to be drawn.</summary>
/// <param name="Weight">How often, relative to the part's other kinds; above 0.</param>
/// <param name="Draw">The fault with a value drawn.</param>
internal sealed record FaultKind(double Weight, Func<Random, UnitFault> Draw);

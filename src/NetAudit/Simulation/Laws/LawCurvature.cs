namespace NetAudit.Simulation.Laws;

/// <summary>
/// Second derivatives of the laws of one device: a law whose values are those of <paramref name="Entries"/> that are not identically zero,
/// each by two inputs, the first not above the second. It takes the same raw constants as the laws.
/// </summary>
internal sealed record LawCurvature(CompiledLaw Law, (int Output, int First, int Second)[] Entries);

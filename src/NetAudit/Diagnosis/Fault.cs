namespace NetAudit.Diagnosis;

/// <summary>One thing wrong.</summary>
/// <param name="Part">The part, as the netlist or the sheet names it: <c>R3</c>, <c>V1</c>; a tube section by its instance, <c>XV1A</c>.</param>
/// <param name="Mode">What is wrong with it.</param>
/// <param name="Pin">The pin or terminal, when the fault sits at one.</param>
/// <param name="Nodes">The two nodes joined, for a bridge.</param>
/// <param name="Value">The most probable value in base SI units, or a factor of the healthy value; null when the fault has none.</param>
/// <param name="Unit"><c>Ω</c>, <c>A</c>, <c>V</c>, <c>×</c> (factor), or null.</param>
public sealed record Fault(
    string Part,
    FaultMode Mode,
    string? Pin = null,
    (string First, string Second)? Nodes = null,
    double? Value = null,
    string? Unit = null
);

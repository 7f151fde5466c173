namespace NetAudit.Reference.Units.Evidence;

/// <summary>What a meter shows at one node against chassis.</summary>
/// <param name="Kind">As in readings files: <c>dc</c>, <c>ac</c>, <c>ohms</c>.</param>
/// <param name="Node">Node index.</param>
/// <param name="Condition">As in readings files; empty for powered normally.</param>
/// <param name="Shown">Volts, volts RMS or ohms; infinite for over-range.</param>
public sealed record UnitReading(string Kind, int Node, string Condition, double Shown);

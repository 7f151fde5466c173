namespace NetAudit.Expectations;

/// <summary>A reading to predict: where the probes stand and what the meter is set to.</summary>
/// <param name="Kind">Volts DC, volts AC or ohms.</param>
/// <param name="Node">Node of the positive probe.</param>
/// <param name="RefNode">Node of the negative probe; 0 is chassis.</param>
/// <param name="MeterOhms">Resistance of the meter, ohms.</param>
internal readonly record struct Row(ReadingKind Kind, int Node, int RefNode, double MeterOhms);

namespace NetAudit.Simulation;

/// <summary>A voltmeter.</summary>
/// <param name="Positive">Node index.</param>
/// <param name="Negative">Node index; 0 is chassis.</param>
/// <param name="LoadOhms">Its input resistance, above 0; positive infinity is an ideal meter.</param>
public readonly record struct Probe(int Positive, int Negative, double LoadOhms);

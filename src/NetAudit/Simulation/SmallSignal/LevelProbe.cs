namespace NetAudit.Simulation.SmallSignal;

/// <summary>
/// A voltmeter for alternating current. It blocks direct current, so that its load does not move the operating point.
/// </summary>
/// <param name="Positive">Node index.</param>
/// <param name="Negative">Node index; 0 is chassis.</param>
/// <param name="LoadOhms">Its input resistance, above 0; positive infinity is none.</param>
/// <param name="LoadFarads">Its input capacitance beside that, not below 0.</param>
public readonly record struct LevelProbe(
    int Positive,
    int Negative,
    double LoadOhms = double.PositiveInfinity,
    double LoadFarads = 0
);

/// <summary>Two nodes between which a resistance or an impedance is asked for.</summary>
/// <param name="Positive">Node index.</param>
/// <param name="Negative">Node index; 0 is chassis.</param>
public readonly record struct NodePair(int Positive, int Negative);

using NetAudit.Circuits.Sheets;

namespace NetAudit.Expectations;

/// <summary>A reading to predict: where the probes stand and what the meter is set to.</summary>
/// <param name="Kind">Volts DC, volts AC or ohms.</param>
/// <param name="Node">Node of the positive probe.</param>
/// <param name="RefNode">Node of the negative probe; 0 is chassis.</param>
/// <param name="MeterOhms">Resistance of the meter, ohms; positive infinity is none.</param>
/// <param name="MeterFarads">Capacitance of the meter beside it, farads; matters to levels only.</param>
internal readonly record struct Row(
    ReadingKind Kind,
    int Node,
    int RefNode,
    double MeterOhms,
    double MeterFarads
)
{
    /// <summary>Level in volts RMS below which differences count by volts and not by ratio.</summary>
    public double LevelFloor { get; init; } = RowScale.NoiseFloor;

    /// <summary>The row of a meter.</summary>
    /// <param name="meter">The meter.</param>
    /// <param name="kind">What it is set to.</param>
    /// <param name="node">Node of the positive probe.</param>
    /// <param name="refNode">Node of the negative probe.</param>
    /// <param name="volts">About what it reads: the range of a needle meter.</param>
    public static Row Of(Meter meter, ReadingKind kind, int node, int refNode, double volts) =>
        new(kind, node, refNode, meter.LoadOhms(volts), meter.InputCapacitance);

    /// <summary>The row of an ear at a loudspeaker: it loads nothing.</summary>
    /// <param name="node">The loudspeaker's node.</param>
    /// <param name="levelFloor">Level below which nothing is heard, volts RMS.</param>
    public static Row Heard(int node, double levelFloor) =>
        new(ReadingKind.Ac, node, 0, double.PositiveInfinity, 0) { LevelFloor = levelFloor };
}

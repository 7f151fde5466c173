using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>A reading that could be taken.</summary>
/// <param name="At">Where, as a readings file writes it.</param>
/// <param name="Scene">The condition.</param>
/// <param name="Row">What the meter would be at.</param>
/// <param name="Cost">Effort and hazard.</param>
/// <param name="Volts">Most volts against chassis that the probes touch on a healthy unit.</param>
internal sealed record ReadingCandidate(string At, Scene Scene, Row Row, double Cost, double Volts)
{
    /// <summary>What is done: a level at the loudspeaker may be heard instead of measured.</summary>
    public ReadingKind Kind { get; init; } = Row.Kind;

    /// <summary>Own sigma where the place does not decide it: that of an ear.</summary>
    public double? OwnSigma { get; init; }
}

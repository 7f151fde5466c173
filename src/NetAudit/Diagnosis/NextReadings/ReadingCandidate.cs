using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>A reading that could be taken.</summary>
/// <param name="At">Where, as a readings file writes it.</param>
/// <param name="Scene">The condition.</param>
/// <param name="Row">What the meter would be at.</param>
/// <param name="Cost">Effort and hazard.</param>
internal sealed record ReadingCandidate(string At, Scene Scene, Row Row, double Cost)
{
    /// <summary>Most volts against chassis that a probe or a clip touches.</summary>
    /// <param name="nodeVolts">Volts of every node in the candidate's condition.</param>
    public double MostVolts(ReadOnlySpan<double> nodeVolts)
    {
        var most = Math.Max(Math.Abs(nodeVolts[Row.Node]), Math.Abs(nodeVolts[Row.RefNode]));
        foreach (var term in Scene.Condition.Terms)
        {
            // The generator's clip.
            if (term is SignalInjected injected)
            {
                most = Math.Max(most, Math.Abs(nodeVolts[injected.Node]));
            }
        }
        return most;
    }

    /// <summary>What is done: a level at the loudspeaker may be heard instead of measured.</summary>
    public ReadingKind Kind { get; init; } = Row.Kind;

    /// <summary>Own sigma where the place does not decide it: that of an ear.</summary>
    public double? OwnSigma { get; init; }
}

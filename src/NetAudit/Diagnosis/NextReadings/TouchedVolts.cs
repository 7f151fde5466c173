using NetAudit.Expectations;

namespace NetAudit.Diagnosis.NextReadings;

/// <summary>How high the voltage is where a hand goes near for a reading, as far as it is known before any fault is supposed.</summary>
internal static class TouchedVolts
{
    /// <summary>The higher of what a healthy unit has there and what was read there, volts against chassis; one a candidate.</summary>
    /// <param name="healthy">The unit without faults.</param>
    /// <param name="candidates">The readings that could be taken.</param>
    /// <param name="taken">The readings taken, in whatever condition.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static double[] Known(
        HealthyUnit healthy,
        IReadOnlyList<ReadingCandidate> candidates,
        IReadOnlyList<Reading> taken,
        CancellationToken cancellationToken
    )
    {
        var read = new double[healthy.Amplifier.Circuit.Nodes.Length];
        foreach (var reading in taken)
        {
            if (reading is { Kind: ReadingKind.Dc, RefNode: 0 } && double.IsFinite(reading.Value))
            {
                read[reading.Node] = Math.Max(read[reading.Node], Math.Abs(reading.Value));
            }
        }
        return
        [
            .. candidates.Select(candidate =>
                Math.Max(
                    candidate.MostVolts(read),
                    candidate.MostVolts(healthy.VoltsIn(candidate.Scene, cancellationToken)!)
                )
            ),
        ];
    }
}

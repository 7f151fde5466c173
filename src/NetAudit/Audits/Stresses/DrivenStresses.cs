using NetAudit.Circuits;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses of an amplifier that its test signal drives to the onset of clipping.</summary>
/// <param name="Values">One a stress of the plan; null when there are none.</param>
/// <param name="Drive">How hard it is driven; null likewise.</param>
/// <param name="Note">What is amiss, or null.</param>
internal sealed record DrivenStresses(double[]? Values, StressDrive? Drive, string? Note)
{
    /// <summary>Drives the amplifier.</summary>
    /// <param name="amplifier">The amplifier.</param>
    /// <param name="plan">What is read.</param>
    /// <param name="operatingPoint">A workspace with its operating point.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public static DrivenStresses Of(
        Amplifier amplifier,
        StressPlan plan,
        Workspace operatingPoint,
        CancellationToken cancellationToken
    )
    {
        var (setup, reason) = DriveSetup.Find(amplifier);
        if (setup is null)
        {
            return Nothing(reason!);
        }
        var sweep = DriveSweep.Of(
            amplifier,
            setup,
            new DriveLimits(),
            operatingPoint,
            null,
            cancellationToken
        );
        if (sweep.Clipping is not { Point: var onset })
        {
            return Nothing("No level was found at which it begins to clip.");
        }
        var bench = new DriveBench(amplifier, setup, operatingPoint);
        var record = new StressRecord(plan);
        var outcome = bench.Settle(onset.Drive, cancellationToken);
        if (!bench.Sample((_, workspace) => record.Note(workspace), cancellationToken))
        {
            return Nothing("The driven circuit could not be followed.");
        }
        var source = amplifier.Circuit.Elements[setup.Source].Name;
        return new(
            record.Values(),
            new(source, onset.Drive, setup.Frequency, onset.Watts),
            outcome == PeriodicOutcome.Settled
                ? null
                : "at clipping the circuit does not come to a steady state; its figures are those of the last period followed"
        );
    }

    private static DrivenStresses Nothing(string reason) =>
        new(null, null, $"Nothing is said of clipping. {reason}");
}

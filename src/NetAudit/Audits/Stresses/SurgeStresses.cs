using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Expectations.LargeSignal;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses while the supplies come up with cold tubes.</summary>
/// <param name="Values">One a stress of the plan; null when there are none.</param>
/// <param name="Fuses">What the fuses do.</param>
/// <param name="Note">What is amiss, or null.</param>
internal sealed record SurgeStresses(
    double[]? Values,
    ImmutableArray<FuseEvent> Fuses,
    string? Note
)
{
    /// <summary>Switches the amplifier on.</summary>
    public static SurgeStresses Of(
        Amplifier amplifier,
        StressPlan plan,
        CompiledCircuit compiled,
        CancellationToken cancellationToken
    )
    {
        var record = new StressRecord(plan);
        var fuses = amplifier
            .Sheet.Fuses.Select(fuse => new FuseSurge(
                fuse,
                amplifier.Circuit.FindElement(fuse.Element)
            ))
            .Where(fuse => fuse.Element >= 0)
            .ToArray();
        var surge = SwitchOnSurge.Of(
            amplifier,
            new Workspace(compiled),
            coldTubes: true,
            Note,
            cancellationToken
        );
        return surge.Reason is { } reason
            ? new(null, [], $"Nothing is said of switch-on. {reason}")
            : new(record.Values(), [.. fuses.Select(fuse => fuse.Event)], null);

        void Note(Integrator integrator)
        {
            record.Note(integrator.Workspace);
            foreach (var fuse in fuses)
            {
                fuse.Note(integrator);
            }
        }
    }
}

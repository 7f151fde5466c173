using System.Collections.Immutable;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>Keeps the peaks of rails and source currents while time goes on.</summary>
/// <param name="rails">Nodes.</param>
/// <param name="sources">Elements.</param>
/// <param name="finalVolts">Volts at rest, by node.</param>
/// <param name="finalAmps">Amperes given at rest, by source.</param>
internal sealed class SurgeWatch(
    int[] rails,
    int[] sources,
    double[] finalVolts,
    double[] finalAmps
)
{
    private readonly (double Value, double Time)[] _volts = new (double, double)[rails.Length];
    private readonly (double Value, double Time)[] _amps = new (double, double)[sources.Length];

    public ImmutableArray<RailSurge> Rails =>
        [
            .. rails.Select(
                (node, i) => new RailSurge(node, _volts[i].Value, _volts[i].Time, finalVolts[node])
            ),
        ];

    public ImmutableArray<SourceSurge> Sources =>
        [
            .. sources.Select(
                (element, i) =>
                    new SourceSurge(element, _amps[i].Value, _amps[i].Time, finalAmps[i])
            ),
        ];

    public void Note(Integrator integrator)
    {
        for (var i = 0; i < rails.Length; i++)
        {
            Raise(ref _volts[i], integrator.Workspace.VoltsNow(rails[i]), integrator.Time);
        }
        for (var i = 0; i < sources.Length; i++)
        {
            Raise(ref _amps[i], -integrator.Workspace.BranchAmps(sources[i]), integrator.Time);
        }
    }

    public bool IsAtRest(Workspace workspace, double share, double least) =>
        Array.TrueForAll(
            rails,
            node =>
                Math.Abs(workspace.VoltsNow(node) - finalVolts[node])
                <= share * Math.Abs(finalVolts[node]) + least
        );

    private static void Raise(ref (double Value, double Time) peak, double value, double time)
    {
        if (Math.Abs(value) > Math.Abs(peak.Value))
        {
            peak = (value, time);
        }
    }
}

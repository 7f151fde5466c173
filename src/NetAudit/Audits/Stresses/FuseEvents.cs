using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>The current of every fuse at idle and in the shorts it is there for.</summary>
internal static class FuseEvents
{
    // A fuse whose current hardly rises is not in the path of the short.
    private const double LeastRise = 0.05;

    /// <summary>The events, and the names of the shorts that no fuse of the sheet sees.</summary>
    public static (ImmutableArray<FuseEvent> Events, ImmutableArray<string> Unseen) Find(
        Amplifier amplifier,
        Workspace workspace,
        double[] idle,
        CancellationToken cancellationToken
    )
    {
        var fuses = amplifier
            .Sheet.Fuses.Select(fuse =>
                (Fuse: fuse, Element: amplifier.Circuit.FindElement(fuse.Element))
            )
            .Where(fuse => fuse.Element >= 0)
            .ToArray();
        var found = ImmutableArray.CreateBuilder<FuseEvent>();
        var atIdle = fuses.Select(fuse => Math.Abs(workspace.ResistorAmps(fuse.Element))).ToArray();
        for (var i = 0; i < fuses.Length; i++)
        {
            found.Add(Event(fuses[i].Fuse, "idle", atIdle[i]));
        }
        var unseen = ImmutableArray.CreateBuilder<string>();
        foreach (var (name, a, b) in Shorts.Of(amplifier))
        {
            workspace.Restore();
            workspace.Bridge(a, b, 0);
            var settled = workspace.Solve(idle, cancellationToken).Converged;
            var before = found.Count;
            for (var i = 0; i < fuses.Length; i++)
            {
                var amps = settled
                    ? Math.Abs(workspace.ResistorAmps(fuses[i].Element))
                    : double.NaN;
                if (double.IsNaN(amps) || amps > (1 + LeastRise) * atIdle[i])
                {
                    found.Add(Event(fuses[i].Fuse, name, amps));
                }
            }
            if (found.Count == before)
            {
                unseen.Add(name);
            }
        }
        return (found.ToImmutable(), unseen.ToImmutable());
    }

    private static FuseEvent Event(FuseData fuse, string name, double amps) =>
        new(
            fuse.Name,
            name,
            amps,
            fuse.RatedAmps,
            fuse.Speed,
            fuse.RatedAmps is { } rated && double.IsFinite(amps)
                ? FuseCurve.Find(amps, rated, fuse.Speed)
                : null
        );
}

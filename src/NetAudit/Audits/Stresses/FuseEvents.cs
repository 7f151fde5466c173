using System.Collections.Immutable;
using NetAudit.Circuits;
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
        var fuses = FuseProbe.Of(amplifier);
        var atIdle = fuses.Select(fuse => fuse.Amps(workspace)).ToArray();
        var found = ImmutableArray.CreateBuilder<FuseEvent>();
        found.AddRange(fuses.Select((fuse, i) => fuse.At(atIdle[i], "idle")));
        var unseen = ImmutableArray.CreateBuilder<string>();
        foreach (var (name, a, b) in Shorts.Of(amplifier))
        {
            workspace.Restore();
            workspace.Bridge(a, b, 0);
            var settled = workspace.Solve(idle, cancellationToken).Converged;
            Take(name, (fuse, _) => settled ? fuse.Amps(workspace) : double.NaN);
        }
        foreach (var element in amplifier.Circuit.Elements)
        {
            if (element is VoltageSource { Supply: { } supply })
            {
                Take(
                    $"a rectifier of {element.Name} shorted",
                    (fuse, atRest) =>
                        (fuse.Mains is null ? 0 : atRest)
                        + RectifierShorts.Amps(amplifier, fuse, supply)
                );
            }
        }
        return (found.ToImmutable(), unseen.ToImmutable());

        void Take(string name, Func<FuseProbe, double, double> amps)
        {
            var before = found.Count;
            for (var i = 0; i < fuses.Length; i++)
            {
                var now = amps(fuses[i], atIdle[i]);
                if (double.IsNaN(now) || now > (1 + LeastRise) * atIdle[i])
                {
                    found.Add(fuses[i].At(now, name));
                }
            }
            if (found.Count == before)
            {
                unseen.Add(name);
            }
        }
    }
}

using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>The way in for stresses. Thread-safe.</summary>
public static class StressAnalysis
{
    /// <summary>How far the mains may rise: EN 50160 and IEC 60038 allow 10 %.</summary>
    public const double HighMains = 1.10;

    private const string Idle = "idle";
    private const string High = "mains +10 %";

    /// <summary>What every part endures at idle and at high mains, the fuses in shorts, and the range of the bias.</summary>
    /// <returns>The report, or null and the reason when the circuit does not settle.</returns>
    public static (StressReport? Report, string? Reason) Of(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return (null, "the circuit has no operating point, so no stress can be told");
        }
        var idle = workspace.Volts.ToArray();
        var plan = StressPlan.Of(amplifier);
        var notes = ImmutableArray.CreateBuilder<string>();
        var values = new double[2][];
        values[0] = Read(plan, workspace);
        var leaks = GridLeaks.Find(amplifier, workspace);
        var bias = BiasRanges.Find(amplifier, plan, workspace, cancellationToken);
        var (fuses, unseen) = FuseEvents.Find(amplifier, workspace, idle, cancellationToken);
        notes.AddRange(
            unseen.Select(name => $"no fuse of the sheet is in the path of this: {name}")
        );
        workspace.Restore();
        RaiseMains(amplifier, workspace);
        if (workspace.Solve(idle, cancellationToken).Converged)
        {
            values[1] = Read(plan, workspace);
        }
        else
        {
            values[1] = new double[plan.Points.Length];
            Array.Fill(values[1], double.NaN);
            notes.Add("the circuit does not settle with the mains 10 % high");
        }
        var lines = plan
            .Points.Select((point, i) => new StressLine(point.Item, [values[0][i], values[1][i]]))
            .Concat(leaks.Select(leak => new StressLine(leak.Item, [leak.Ohms, leak.Ohms])))
            .ToArray();
        return (
            new(
                [Idle, High],
                [
                    .. lines
                        .Where(line => line.Ratio is not null)
                        .OrderByDescending(line => line.Ratio),
                ],
                [.. lines.Where(line => line.Ratio is null)],
                bias,
                fuses,
                notes.ToImmutable()
            ),
            null
        );
    }

    private static double[] Read(StressPlan plan, Workspace workspace)
    {
        var values = new double[plan.Points.Length];
        plan.Read(workspace, values);
        return values;
    }

    private static void RaiseMains(Amplifier amplifier, Workspace workspace)
    {
        var elements = amplifier.Circuit.Elements;
        for (var i = 0; i < elements.Length; i++)
        {
            var parameter = workspace.Circuit.FindParameter(ParameterKind.Value, i);
            if (
                parameter >= 0
                && elements[i] is VoltageSource
                && MainsSources.Follows(amplifier, elements[i])
            )
            {
                workspace.Set(parameter, workspace.Get(parameter) * HighMains);
            }
        }
    }
}

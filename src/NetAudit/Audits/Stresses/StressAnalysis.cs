using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>The way in for stresses. Thread-safe.</summary>
public static class StressAnalysis
{
    /// <summary>How far the mains may rise: EN 50160 and IEC 60038 allow 10 %.</summary>
    public const double HighMains = 1.10;

    /// <summary>
    /// What every part endures at idle, at high mains, at clipping and at switch-on, the fuses in shorts, and the range of the bias.
    /// </summary>
    /// <returns>The report, or null and what is wrong when the circuit does not settle.</returns>
    public static (StressReport? Report, Diagnostic? Problem) Of(
        Amplifier amplifier,
        CancellationToken cancellationToken = default
    )
    {
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return (null, Unsettled.Describe(workspace));
        }
        var idle = workspace.Volts.ToArray();
        var plan = StressPlan.Of(amplifier);
        var columns = new List<(StressCondition Condition, double[] Values)>();
        Add(StressCondition.Idle, Read(plan, workspace));
        var leaks = GridLeaks.Find(amplifier, workspace);
        var bias = BiasRanges.Find(amplifier, plan, workspace, cancellationToken);
        var driven = DrivenStresses.Of(amplifier, plan, workspace, cancellationToken);
        var surge = SurgeStresses.Of(amplifier, plan, compiled, cancellationToken);
        var (fuses, unseen) = FuseEvents.Find(amplifier, workspace, idle, cancellationToken);
        var high = AtHighMains(amplifier, plan, workspace, idle, cancellationToken);
        Add(StressCondition.HighMains, high);
        Add(StressCondition.Clipping, driven.Values);
        Add(StressCondition.SwitchOn, surge.Values);
        StressLine[] lines =
        [
            .. Lines(plan, columns),
            .. leaks.Select(leak => new StressLine(leak.Item, [.. columns.Select(_ => leak.Ohms)])),
        ];
        string?[] notes =
        [
            .. unseen.Select(name => $"no fuse of the sheet is in the path of this: {name}"),
            high is null ? "the circuit does not settle with the mains 10 % high" : null,
            driven.Note,
            surge.Note,
        ];
        return (
            new(
                [.. columns.Select(column => column.Condition.Name())],
                driven.Drive,
                [
                    .. lines
                        .Where(line => line.Ratio is not null)
                        .OrderByDescending(line => line.Ratio),
                ],
                [.. lines.Where(line => line.Ratio is null)],
                bias,
                [.. fuses, .. surge.Fuses],
                [.. notes.OfType<string>()]
            ),
            null
        );

        void Add(StressCondition condition, double[]? values)
        {
            if (values is not null)
            {
                columns.Add((condition, values));
            }
        }
    }

    private static IEnumerable<StressLine> Lines(
        StressPlan plan,
        List<(StressCondition Condition, double[] Values)> columns
    ) =>
        plan
            .Points.Select(
                (point, i) =>
                    new StressLine(
                        point.Item,
                        [
                            .. columns.Select(column =>
                                point.Item.Kind.ShowsIn(column.Condition)
                                    ? column.Values[i]
                                    : double.NaN
                            ),
                        ]
                    )
            )
            .Where(line => !line.Values.All(double.IsNaN));

    private static double[]? AtHighMains(
        Amplifier amplifier,
        StressPlan plan,
        Workspace workspace,
        double[] idle,
        CancellationToken cancellationToken
    )
    {
        workspace.Restore();
        RaiseMains(amplifier, workspace);
        return workspace.Solve(idle, cancellationToken).Converged ? Read(plan, workspace) : null;
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

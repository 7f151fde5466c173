using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;

namespace NetAudit.Audits.Stresses;

/// <summary>Idle dissipation of fixed-bias output tubes over the range of the trimmer that sets it.</summary>
internal static class BiasRanges
{
    // A control that moves the idle dissipation by less sets something else.
    private const double LeastEffect = 0.01;

    // A tube is cathode-biased when its cathode stands this far up, as a part of its bias (common practice, no source).
    private const double LeastOwnBias = 0.5;

    public static ImmutableArray<BiasRange> Find(
        Amplifier amplifier,
        StressPlan plan,
        Workspace idle,
        CancellationToken cancellationToken
    )
    {
        var tubes = OutputTubes
            .Of(amplifier)
            .Where(tube => !IsCathodeBiased(amplifier, tube.Section, idle))
            .Select(tube =>
                (
                    Name: TubeStresses.NameOf(tube.Part, tube.Section),
                    tube.Watts,
                    Point: PlatePower(plan, TubeStresses.NameOf(tube.Part, tube.Section))
                )
            )
            .ToArray();
        if (tubes.Length == 0)
        {
            return [];
        }
        var atEnds = AtEnds(
            amplifier,
            idle,
            [.. tubes.Select(tube => tube.Point)],
            cancellationToken
        );
        idle.EvaluateCurrents();
        return
        [
            .. tubes.Select(
                (tube, i) =>
                {
                    var watts = tube.Point.Read(idle);
                    var trimmer = atEnds
                        .Where(ends =>
                            Math.Abs(ends.To[i] - ends.From[i]) > LeastEffect * tube.Watts
                        )
                        .OrderByDescending(ends => Math.Abs(ends.To[i] - ends.From[i]))
                        .FirstOrDefault();
                    return trimmer.Control is null
                        ? new BiasRange(tube.Name, tube.Watts, watts, null, double.NaN, double.NaN)
                        : new BiasRange(
                            tube.Name,
                            tube.Watts,
                            watts,
                            trimmer.Control,
                            Math.Min(trimmer.From[i], trimmer.To[i]),
                            Math.Max(trimmer.From[i], trimmer.To[i])
                        );
                }
            ),
        ];
    }

    private static List<(string? Control, double[] From, double[] To)> AtEnds(
        Amplifier amplifier,
        Workspace idle,
        StressPoint[] points,
        CancellationToken cancellationToken
    )
    {
        var found = new List<(string?, double[], double[])>();
        var scenes = new SceneBuilder(amplifier, idle.Circuit);
        foreach (var control in amplifier.Sheet.Controls)
        {
            if (At(control.Name, 0) is { } from && At(control.Name, 1) is { } to)
            {
                found.Add((control.Name, from, to));
            }
        }
        return found;

        double[]? At(string control, double position)
        {
            var condition = Condition.Of([new ControlSetting(control, position)]);
            if (scenes.Find(condition).Scene is not { } scene)
            {
                return null;
            }
            var workspace = new Workspace(scene.Compiled);
            if (!workspace.Solve(idle.Volts, cancellationToken).Converged)
            {
                return null;
            }
            workspace.EvaluateCurrents();
            return [.. points.Select(point => point.Read(workspace))];
        }
    }

    private static StressPoint PlatePower(StressPlan plan, string name) =>
        plan.Points.First(point =>
            point.Item.Part == name && point.Item.Kind == StressKind.PlatePower
        );

    private static bool IsCathodeBiased(Amplifier amplifier, TubeSection section, Workspace idle)
    {
        var cathode = idle.Volts[amplifier.Circuit.Pins[section.Cathode].Node];
        var grid = idle.Volts[amplifier.Circuit.Pins[section.Grid].Node];
        return cathode > LeastOwnBias * (cathode - grid);
    }
}

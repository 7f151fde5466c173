using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;

namespace NetAudit.Expectations.LargeSignal;

/// <summary>A rail while the supply comes up.</summary>
/// <param name="Node">Node index.</param>
/// <param name="PeakVolts">Volts furthest from zero.</param>
/// <param name="PeakTime">Seconds after switching on.</param>
/// <param name="FinalVolts">Volts once everything has come to rest.</param>
public sealed record RailSurge(int Node, double PeakVolts, double PeakTime, double FinalVolts);

/// <summary>A source while the supply comes up.</summary>
/// <param name="Element">Element index of the voltage source.</param>
/// <param name="PeakAmps">Largest amperes that it gives.</param>
/// <param name="PeakTime">Seconds after switching on.</param>
/// <param name="FinalAmps">Amperes once everything has come to rest.</param>
public sealed record SourceSurge(int Element, double PeakAmps, double PeakTime, double FinalAmps);

/// <summary>
/// What happens when the supplies are switched on with every capacitor empty: each source that follows the wall voltage rises within a
/// tenth of a millisecond. With cold tubes nothing draws current yet and the rails rise furthest; with warm ones, as after a short
/// interruption, the sources give most. Rectifiers are not in it: a netlist's DC source stands for them.
/// </summary>
/// <param name="ColdTubes">Whether the tubes were cold.</param>
/// <param name="Rails">The nodes of the supplies that hold a capacitor, in netlist order.</param>
/// <param name="Sources">The sources, in netlist order.</param>
/// <param name="Seconds">How long it was followed.</param>
/// <param name="Settled">Whether every rail had come within 1 % of its final volts by then.</param>
/// <param name="Reason">Why there is nothing; else null.</param>
public sealed record SwitchOnSurge(
    bool ColdTubes,
    ImmutableArray<RailSurge> Rails,
    ImmutableArray<SourceSurge> Sources,
    double Seconds,
    bool Settled,
    string? Reason
)
{
    private const double RiseTime = 1e-4;
    private const double Patience = 20;
    private const double LongestStep = 20e-3;
    private const double Share = 0.01;
    private const double LeastVolts = 0.05;

    /// <summary>Switches an amplifier on.</summary>
    public static SwitchOnSurge Of(
        Amplifier amplifier,
        bool coldTubes,
        CancellationToken cancellationToken = default
    ) =>
        Of(
            amplifier,
            new Workspace(CompiledCircuit.Compile(amplifier.Circuit)),
            coldTubes,
            null,
            cancellationToken
        );

    /// <summary>
    /// The same with the parameters and edits of a workspace, which is changed: a faulty unit. Whoever looks on is called after each step.
    /// </summary>
    internal static SwitchOnSurge Of(
        Amplifier amplifier,
        Workspace workspace,
        bool coldTubes,
        Action<Integrator>? stepped,
        CancellationToken cancellationToken
    )
    {
        if (coldTubes)
        {
            Chill(amplifier, workspace);
        }
        var circuit = amplifier.Circuit;
        int[] sources =
        [
            .. Enumerable
                .Range(0, circuit.Elements.Length)
                .Where(e =>
                    circuit.Elements[e] is VoltageSource source
                    && MainsSources.Follows(amplifier, source)
                ),
        ];
        if (sources.Length == 0)
        {
            return Nothing(coldTubes, "No source of this circuit follows the wall voltage.");
        }
        if (!workspace.Solve([], cancellationToken).Converged)
        {
            return Nothing(coldTubes, Unsettled.Describe(workspace).Message);
        }
        var watch = new SurgeWatch(
            FindRails(amplifier),
            sources,
            workspace.Volts.ToArray(),
            [.. sources.Select(source => -workspace.BranchAmps(source))]
        );
        var dynamic = Workspace.ForDynamics(workspace.Circuit);
        dynamic.MatchCircuit(workspace);
        var integrator = new Integrator(
            dynamic,
            new IntegratorOptions(LongestStep),
            sources.Select(source =>
                (source, TimeFunction.Ramp(dynamic.ValueNow(source), RiseTime))
            )
        )
        {
            Stepped = watch.Note + stepped,
        };
        integrator.StartAtRest();
        var settled = false;
        var failure = TransientFailure.None;
        for (
            var until = 0.25;
            until <= Patience && !settled && failure == TransientFailure.None;
            until *= 2
        )
        {
            failure = integrator.AdvanceTo(until, cancellationToken);
            settled = watch.IsAtRest(dynamic, Share, LeastVolts);
        }
        return failure == TransientFailure.None
            ? new(coldTubes, watch.Rails, watch.Sources, integrator.Time, settled, null)
            : Nothing(coldTubes, "The rise of the supplies could not be followed to its end.");
    }

    private static SwitchOnSurge Nothing(bool coldTubes, string reason) =>
        new(coldTubes, [], [], 0, false, reason);

    private static void Chill(Amplifier amplifier, Workspace workspace)
    {
        foreach (var section in amplifier.Parts.SelectMany(part => part.Sections))
        {
            var currents = TubeSources.Of(amplifier.Circuit, section);
            foreach (var element in currents.Emission.Concat(currents.Grid))
            {
                var strength = workspace.Circuit.FindParameter(ParameterKind.Strength, element);
                if (strength >= 0)
                {
                    workspace.Set(strength, 0);
                }
            }
        }
    }

    // Nodes at which a supply's capacitor stands.
    private static int[] FindRails(Amplifier amplifier) =>
        [
            .. amplifier
                .Circuit.Elements.OfType<Capacitor>()
                .Where(capacitor => amplifier.StageOf(capacitor.Name) is { IsSupply: true })
                .SelectMany(capacitor => capacitor.Terminals)
                .Select(terminal => terminal.Node)
                .Where(node => node > 0)
                .Distinct(),
        ];
}

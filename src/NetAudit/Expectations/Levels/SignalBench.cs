using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Expectations.Levels;

/// <summary>A healthy amplifier in one condition, at its operating point, ready to be asked for levels. Not thread-safe.</summary>
internal sealed class SignalBench
{
    private readonly Complex[] _one = new Complex[1];

    private SignalBench(Amplifier amplifier, Scene scene, Workspace workspace)
    {
        Amplifier = amplifier;
        Scene = scene;
        Point = workspace;
        Small = new SmallSignalWorkspace(workspace);
    }

    public Amplifier Amplifier { get; }

    public Scene Scene { get; }

    public Circuit Circuit => Scene.Compiled.Circuit;

    public Workspace Point { get; }

    public SmallSignalWorkspace Small { get; }

    /// <summary>Sets the amplifier up, or says why it cannot be.</summary>
    public static (SignalBench? Bench, Diagnostic? Problem) For(
        Amplifier amplifier,
        Condition condition,
        CancellationToken cancellationToken
    )
    {
        var (scene, reason) = new SceneBuilder(
            amplifier,
            CompiledCircuit.Compile(amplifier.Circuit)
        ).Find(condition);
        if (scene is null)
        {
            return (null, Problem($"The condition {condition} cannot be set up: {reason}."));
        }
        if (scene.IsOff)
        {
            return (null, Problem("With the power off there is no signal to follow."));
        }
        var workspace = new Workspace(scene.Compiled);
        foreach (var (parameter, value) in scene.Settings)
        {
            workspace.Set(parameter, value);
        }
        foreach (var (first, second) in scene.Links)
        {
            workspace.Bridge(first, second, LinkOhms);
        }
        return workspace.Solve([], cancellationToken).Converged
            ? (new(amplifier, scene, workspace), null)
            : (null, Unsettled.Describe(workspace));
    }

    /// <summary>A signal that cannot be followed.</summary>
    public static Diagnostic Problem(string message, string? mend = null) =>
        new(Severity.Error, null, message, mend);

    // A clip lead.
    private const double LinkOhms = 0.05;

    /// <summary>What puts a signal of that many volts in.</summary>
    public static Excitation Exciting(TestSignal signal, Complex volts) =>
        signal.Source >= 0
            ? Excitation.OfSource(signal.Source, volts)
            : Excitation.Fed(signal.Node, 0, volts, signal.SourceOhms, signal.BlockingFarads);

    /// <summary>What puts signal in at a node: the voltage source that stands there, or a current.</summary>
    public Excitation ExcitingAt(int node)
    {
        for (var e = 0; e < Circuit.Elements.Length; e++)
        {
            if (
                Circuit.Elements[e] is VoltageSource source
                && source.Terminals.Any(terminal => terminal.Node == node)
                && source.Terminals.Any(terminal => terminal.Node == 0)
            )
            {
                return Excitation.OfSource(e, 1);
            }
        }
        return Excitation.OfCurrent(0, node, 1);
    }

    /// <summary>Level at a node without a meter, or null when the circuit has no unique solution at that frequency.</summary>
    public Complex? Level(double frequency, Excitation excitation, int node) =>
        Small.Levels(frequency, [excitation], [new(node, 0)], [], _one, []) ? _one[0] : null;
}

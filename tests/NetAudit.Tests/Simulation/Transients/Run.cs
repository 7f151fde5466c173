using NetAudit.Circuits;
using NetAudit.Simulation;
using NetAudit.Simulation.Transients;
using Xunit;

namespace NetAudit.Tests.Simulation.Transients;

/// <summary>A transient of a netlist, for tests.</summary>
internal sealed class Run
{
    private Run(Circuit circuit, TransientOutcome outcome, Recording recording)
    {
        Circuit = circuit;
        Outcome = outcome;
        Recording = recording;
    }

    public Circuit Circuit { get; }

    public TransientOutcome Outcome { get; }

    public Recording Recording { get; }

    public IReadOnlyList<double> Times => Recording.Times;

    public static Run Of(
        string cards,
        double stop,
        IntegratorOptions options,
        bool atRest = false,
        params string[] elements
    ) => Of(Netlist.Read(cards), stop, options, atRest, elements);

    public static Run Of(
        Circuit circuit,
        double stop,
        IntegratorOptions options,
        bool atRest = false,
        params string[] elements
    )
    {
        var (outcome, recording) = TransientAnalysis.Run(
            Workspace.ForDynamics(CompiledCircuit.Compile(circuit)),
            stop,
            options,
            atRest,
            [.. elements.Select(circuit.FindElement)],
            TestContext.Current.CancellationToken
        );
        return new Run(circuit, outcome, recording);
    }

    public IReadOnlyList<double> Volts(string node) => Recording.Volts(Circuit.FindNode(node));

    /// <summary>Largest difference of a node from a function of time.</summary>
    public double Error(string node, Func<double, double> expected) =>
        Times.Select((t, i) => Math.Abs(Volts(node)[i] - expected(t))).Max();
}

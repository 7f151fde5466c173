using System.Numerics;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using Xunit;

namespace NetAudit.Tests.Simulation.SmallSignal;

/// <summary>Levels in a circuit with 1 V at VIN.</summary>
internal static class StageLevel
{
    /// <summary>Complex volts at each node.</summary>
    public static Complex[] Of(string cards, double frequency, params string[] nodes)
    {
        var circuit = Netlist.Read(cards);
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        Assert.True(workspace.Solve([]).Converged);
        var levels = new Complex[nodes.Length];
        Assert.True(
            new SmallSignalWorkspace(workspace).Levels(
                frequency,
                [Excitation.OfSource(circuit.FindElement("VIN"), 1)],
                [.. nodes.Select(node => new LevelProbe(circuit.FindNode(node), 0))],
                [],
                levels,
                []
            )
        );
        return levels;
    }

    /// <summary>Magnitude at one node.</summary>
    public static double At(string cards, double frequency, string node) =>
        Complex.Abs(Of(cards, frequency, node)[0]);
}

using NetAudit.Circuits;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using NetAudit.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>The sheets of sample-circuits that give the supplies by their parts.</summary>
public class SampleSupplyTests
{
    [Theory]
    [InlineData("marram-5", "p3")]
    [InlineData("marram-20", "p5")]
    [InlineData("marram-50-a", "bb")]
    [InlineData("marram-50-b", "bb")]
    public void Solve_SheetWithSupply_StandsWhereTheNetlistsSourcePutsIt(string name, string other)
    {
        var netlist = Repository.File($"sample-circuits/{name}.cir");
        var sheet = Repository.File($"sample-circuits/{name}-supply.sheet.toml");
        var plain = AmplifierReader.Read(netlist).Amplifier!.Circuit;
        var result = AmplifierReader.Read(netlist, sheet);
        Assert.NotNull(result.Amplifier);
        var expected = OperatingPointSolver.Solve(plain, []);
        var workspace = new Workspace(CompiledCircuit.Compile(result.Amplifier.Circuit));
        Assert.True(workspace.Solve([]).Converged);
        foreach (var node in new[] { "b1", other })
        {
            var index = plain.FindNode(node);
            Assert.Equal(
                expected.NodeVolts[index],
                workspace.Volts[index],
                0.015 * Math.Abs(expected.NodeVolts[index])
            );
        }
        // A healthy reservoir ripples by a few volts; the last rail by millivolts at most.
        var ripple = new double[2];
        var last = plain.FindNode(name == "marram-5" ? "b3" : "b4");
        var reader = new RippleReader(new SmallSignalWorkspace(workspace));
        Assert.True(reader.Read([new(plain.FindNode("b1"), 0), new(last, 0)], [], ripple, []));
        Assert.InRange(ripple[0], 0.5, 8);
        Assert.InRange(ripple[1], 0, 0.02);
    }
}

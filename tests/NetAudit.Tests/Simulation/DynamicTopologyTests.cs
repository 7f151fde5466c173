using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>The structure with inductor currents and places for capacitors: at rest it is the circuit at DC.</summary>
public class DynamicTopologyTests
{
    [Theory]
    [InlineData("marram-5.cir")]
    [InlineData("marram-20.cir")]
    [InlineData("marram-50-a.cir")]
    [InlineData("marram-50-b.cir")]
    [InlineData("marram-line.cir")]
    public void Solve_AtRest_GivesTheVoltsOfTheDcTopology(string file)
    {
        var compiled = CompiledCircuit.Compile(Netlist.Sample(file));
        var still = new Workspace(compiled);
        Assert.True(still.Solve([]).Converged);
        var dynamic = Workspace.ForDynamics(compiled);
        Assert.True(dynamic.Solve(still.Volts).Converged);
        AssertSameVolts(still, dynamic);
    }

    [Fact]
    public void MatchCircuit_ParametersAndEdits_SolvesAsTheOther()
    {
        var circuit = Netlist.Read(
            """
            VHT ht 0 300
            L1 ht a 10
            R1 a p 10k
            R2 p 0 22k
            C1 p q 1u
            R3 q 0 1Meg
            L2 q r 1
            R4 r p 47k
            K1 L1 L2 0.9
            D1 q 0 DM
            .model DM D(IS=1n RS=5)
            """
        );
        var compiled = CompiledCircuit.Compile(circuit);
        var still = new Workspace(compiled);
        still.Set(compiled.FindParameter(ParameterKind.Value, circuit.FindElement("R1")), 15e3);
        still.Break(circuit.Pin("L1", "1"), 4700);
        still.Break(circuit.Pin("L1", "2"), 1e3);
        still.Break(circuit.Pin("C1", "2"), 1e10);
        still.Break(circuit.Pin("VHT", "1"), 220);
        still.Bridge(circuit.FindNode("a"), circuit.FindNode("q"), 1e5);
        still.Inject(0, circuit.FindNode("r"), 1e-4);
        Assert.True(still.Solve([]).Converged);
        var dynamic = Workspace.ForDynamics(compiled);
        dynamic.MatchCircuit(still);
        Assert.True(dynamic.Solve(still.Volts).Converged);
        AssertSameVolts(still, dynamic);
    }

    // Implicit Euler in closed form: v(n+1) = (v(n) + h/RC E) / (1 + h/RC).
    [Fact]
    public void Companions_CapacitorCharging_FollowsImplicitEuler()
    {
        var circuit = Netlist.Read("V1 a 0 10\nR1 a b 1k\nC1 b 0 1u");
        var workspace = Workspace.ForDynamics(CompiledCircuit.Compile(circuit));
        const double Step = 1e-4;
        var expected = 0.0;
        var volts = 0.0;
        workspace.CapacitorSiemens[0] = 1e-6 / Step;
        workspace.CompanionsChanged();
        for (var n = 0; n < 20; n++)
        {
            workspace.CapacitorAmps[0] = -1e-6 / Step * volts;
            Assert.True(workspace.Solve(workspace.Volts).Converged);
            volts = workspace.CapacitorVolts(0);
            expected = (expected + 0.1 * 10) / 1.1;
            Assert.Equal(expected, volts, 1e-9);
        }
    }

    // An unloaded transformer, primary current rising from 0 by implicit Euler: i(n+1) = (i(n) + h/L E) / (1 + R h/L); the secondary
    // shows k sqrt(L2/L1) of the primary's volts.
    [Fact]
    public void Companions_CoupledInductors_FollowImplicitEuler()
    {
        var circuit = Netlist.Read(
            "V1 a 0 10\nR1 a b 100\nL1 b 0 2\nL2 c 0 8\nK1 L1 L2 0.5\nR2 c 0 1e9"
        );
        var workspace = Workspace.ForDynamics(CompiledCircuit.Compile(circuit));
        const double Step = 1e-3;
        const double Mutual = 0.5 * 4;
        var (primary, secondary, expected) = (0.0, 0.0, 0.0);
        workspace.InductorOhms[0] = 2 / Step;
        workspace.InductorOhms[1] = 8 / Step;
        workspace.MutualOhms[0] = Mutual / Step;
        workspace.CompanionsChanged();
        for (var n = 0; n < 20; n++)
        {
            workspace.InductorVolts[0] = (2 * primary + Mutual * secondary) / Step;
            workspace.InductorVolts[1] = (8 * secondary + Mutual * primary) / Step;
            Assert.True(workspace.Solve(workspace.Volts).Converged);
            (primary, secondary) = (workspace.InductorAmps(0), workspace.InductorAmps(1));
            expected = (expected + Step / 2 * 10) / (1 + 100 * Step / 2);
            Assert.Equal(expected, primary, 1e-7);
            var across = workspace.Volts[circuit.FindNode("b")];
            Assert.Equal(across, workspace.Volts[circuit.FindNode("c")], 1e-4);
        }
    }

    private static void AssertSameVolts(Workspace expected, Workspace actual)
    {
        for (var node = 0; node < expected.Volts.Length; node++)
        {
            Assert.Equal(expected.Volts[node], actual.Volts[node], 1e-5);
        }
    }
}

using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>Circuits on which Newton's method alone goes round in a ring; the way by a transient settles them where they come to rest.</summary>
public class ConvergenceLadderTests
{
    [Theory]
    // From 0 V Newton goes to 1 V, back to 0 V, and so on; the only root of v³ - 2v + 2, from its cubic formula.
    [InlineData("B1 a 0 I=v(a)*v(a)*v(a)-2*v(a)+2", -1.7692923542386314)]
    // A dip beside zero, in which Newton is caught, far from the only root.
    [InlineData("B1 a 0 I=(v(a)-30)*((v(a)+2)*(v(a)+2)+0.05)", 30)]
    public void Solve_WhereNewtonGoesInARing_FollowsATransient(string cards, double volts)
    {
        var circuit = Netlist.Read(cards);

        var point = new OperatingPointSolver().Solve(
            circuit,
            TestContext.Current.CancellationToken
        );

        Assert.True(point.Converged, $"{point.Problem}");
        Assert.Equal("pseudo-transient", point.Strategy);
        Assert.Equal(volts, point.NodeVolts[circuit.FindNode("a")], 1e-9);
    }

    [Fact]
    public void Solve_SourcesAndInductors_GivesTheirAmps()
    {
        var circuit = Netlist.Read("V1 a 0 10\nL1 a b 1m\nR1 b 0 1k");

        var point = new OperatingPointSolver().Solve(
            circuit,
            TestContext.Current.CancellationToken
        );

        Assert.Equal(
            [(circuit.FindElement("V1"), -0.01), (circuit.FindElement("L1"), 0.01)],
            point.BranchAmps.Select(branch => (branch.Element, Math.Round(branch.Amps, 9)))
        );
    }
}

using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

public sealed class SourceLoopTests
{
    [Theory]
    [InlineData("V1 a 0 1\nV2 a 0 2", "V2")]
    [InlineData("V1 a 0 5\nL1 a 0 1", "L1")]
    [InlineData("V1 a 0 5\nV2 b a 3\nL1 b c 1\nV3 c 0 7\nR1 c 0 1k", "V3")]
    public void Solve_SourcesAtOdds_SaysWhichAndDoesNotConverge(string cards, string closing)
    {
        var point = Solve(cards);
        Assert.False(point.Converged);
        Assert.StartsWith(closing, point.Problem!.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("V1 a 0 1\nV2 a 0 1\nR1 a 0 1k", "a", 1)]
    [InlineData("V1 a 0 5\nV2 b a 3\nV3 b 0 8\nR1 b 0 1k", "b", 8)]
    [InlineData("V1 a 0 2\nL1 a b 1\nL2 a b 1\nR1 b 0 1k", "b", 2)]
    public void Solve_SourcesInAccord_Converges(string cards, string node, double volts)
    {
        var circuit = CircuitReader.ReadText("loops\n" + cards + "\n.end\n", "loops.cir").Circuit!;
        var point = new OperatingPointSolver().Solve(circuit);
        Assert.True(point.Converged);
        Assert.Equal(volts, point.NodeVolts[circuit.FindNode(node)], 6);
    }

    private static OperatingPoint Solve(string cards) =>
        new OperatingPointSolver().Solve(
            CircuitReader.ReadText("loops\n" + cards + "\n.end\n", "loops.cir").Circuit!
        );
}

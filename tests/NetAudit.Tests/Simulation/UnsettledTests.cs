using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>A circuit that does not settle is told with the cards to look at.</summary>
public class UnsettledTests
{
    // No volts at b let the currents into it cancel.
    private const string NoSolution =
        "None\nV1 a 0 10\nR1 a b 1k\nB1 b 0 I=v(b)>5 ? 1 : -1\nC1 b 0 1u\n.end\n";

    private static OperatingPoint Solve(string cards) =>
        new OperatingPointSolver().Solve(
            CircuitReader.ReadText(cards, "none.cir").Circuit!,
            TestContext.Current.CancellationToken
        );

    [Fact]
    public void Solve_NoSolution_NamesTheCardsAtTheWorstNode()
    {
        var point = Solve(NoSolution);

        Assert.False(point.Converged);
        Assert.Equal("none.cir:3:1", point.Problem!.Where.ToString());
        Assert.EndsWith(
            "are b (R1 at none.cir:3:1, B1 at none.cir:4:1).",
            point.Problem.Message,
            StringComparison.Ordinal
        );
        Assert.Contains(".nodeset", point.Problem.Mend, StringComparison.Ordinal);
    }

    [Fact]
    public void Solve_ManyCardsAtTheNode_CountsTheRest()
    {
        var resistors = string.Concat(Enumerable.Range(2, 6).Select(i => $"R{i} b 0 1k\n"));

        var point = Solve(NoSolution.Replace(".end", resistors + ".end", StringComparison.Ordinal));

        Assert.EndsWith(
            "R3 at none.cir:7:1, 4 more).",
            point.Problem!.Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Solve_SourcesAtOdds_PointsAtTheCardThatClosesTheLoop()
    {
        var point = Solve("None\nV1 a 0 10\nV2 a 0 12\nR1 a 0 1k\n.end\n");

        Assert.Equal("none.cir:3:1", point.Problem!.Where.ToString());
        Assert.Contains("V2 closes a loop", point.Problem.Message, StringComparison.Ordinal);
        Assert.NotNull(point.Problem.Mend);
    }

    [Fact]
    public void Prepare_NoSolution_SaysTheSameToForecastAndDiagnosis()
    {
        var amplifier = Amplifiers.Of("V1 a 0 10\nR1 a b 1k\nB1 b 0 I=v(b)>5 ? 1 : -1");
        var solved = new OperatingPointSolver().Solve(
            amplifier.Circuit,
            TestContext.Current.CancellationToken
        );

        Assert.NotNull(solved.Problem);
        Assert.Equal(solved.Problem, Diagnoser.Prepare(amplifier).Problem);
        Assert.Equal(solved.Problem, Expectation.Of(amplifier).Problem);
    }
}

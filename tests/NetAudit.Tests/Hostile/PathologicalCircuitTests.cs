using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Hostile;

/// <summary>Circuits that no amplifier is: an answer that says so, or a diagnostic; never a crash, a hang or a number out of nothing.</summary>
public class PathologicalCircuitTests
{
    private static readonly Dictionary<string, Func<string>> Refused = new()
    {
        ["100,000 elements"] = () => Lines(100_000, i => $"R{i} n{i} n{i + 1} 1k"),
        ["39,000 elements"] = () => Lines(39_000, i => $"R{i} n{i} n{i + 1} 1k"),
        ["sources on sources"] = () => Lines(2_000, i => $"V{i} n{i + 1} n{i} 1m"),
        ["tied at random"] = () =>
        {
            var random = new Random(1);
            return "V1 n0 0 1\nRG n5 0 1k\n"
                + Lines(15_000, i => $"R{i} n{random.Next(4000)} n{random.Next(4000)} 1k");
        },
        ["subcircuits 10,000 deep"] = () =>
            "X1 a s0\n" + Lines(10_000, i => $".subckt s{i} p\nX1 p s{i + 1}\n.ends"),
        ["parentheses 10,000 deep"] = () =>
            $"R1 a 0 {{{new string('(', 10_000)}1{new string(')', 10_000)}}}",
        ["signs 10,000 deep"] = () => $"R1 a 0 {{{new string('-', 10_000)}1}}",
        ["conditionals 10,000 deep"] = () =>
            $"R1 a 0 {{{string.Concat(Enumerable.Repeat("1?1:", 4_000))}1}}",
        ["functions 10,000 deep"] = () =>
            $"B1 a 0 V={string.Concat(Enumerable.Repeat("sin(", 10_000))}1{new string(')', 10_000)}",
        ["a subcircuit in itself"] = () => "X1 a s\n.subckt s p\nR1 p 0 1\nX1 p s\n.ends",
        ["not a number"] = () => "V1 a 0 nan\nR1 a 0 1k",
        ["infinity"] = () => "V1 a 0 1e999\nR1 a 0 1k",
        ["nothing"] = () => "",
    };

    public static TheoryData<string> RefusedNames => [.. Refused.Keys];

    [Theory]
    [MemberData(nameof(RefusedNames))]
    public void Read_OfWhatIsTooMuch_SaysWhere(string name)
    {
        var result = CircuitReader.ReadText("t\n" + Refused[name](), "x.cir");
        Assert.Null(result.Circuit);
        Assert.All(
            result.Diagnostics.Where(found => found.Severity == Severity.Error),
            found => Assert.True(found.Where is { Line: > 0, Column: > 0 })
        );
    }

    [Theory]
    [InlineData("V1 a 0 1\nV2 a 0 2\nR1 a 0 1", "a loop of sources that disagree")]
    [InlineData("B1 a 0 V=v(a)>0?-1:1\nR1 a 0 1k", "no volts agree with themselves")]
    [InlineData("B1 a 0 V=v(a)+1\nR1 a 0 1k", "always one more")]
    [InlineData("B1 a 0 V=v(a)*v(a)+1\nR1 a 0 1k", "no real root")]
    [InlineData("B1 0 a I=1+v(a)*v(a)\nR1 a 0 1e9", "runs away")]
    [InlineData("V1 a 0 1\nB1 b 0 V=1e300*v(a)*1e300\nR1 b 0 1k", "overflows")]
    public void Solve_OfACircuitWithoutOperatingPoint_SaysSo(string cards, string why)
    {
        var point = Solve(cards);
        Assert.False(point.Converged, why);
        Assert.Empty(point.NodeVolts);
        Assert.NotNull(point.Problem?.Where);
        Assert.NotNull(point.Problem?.Mend);
    }

    [Theory]
    [InlineData("I1 0 a 1m\nC1 a 0 1u", "a current into a capacitor")]
    [InlineData("V1 a b 10\nR1 a b 1k\nR2 c 0 1k", "a battery on nothing")]
    [InlineData("V1 a 0 1\nR1 a b -1k\nR2 b 0 1k", "conductances that cancel")]
    [InlineData("V1 a 0 1e30\nR1 a b 1k\nR2 b 0 1k", "a source of no amplifier")]
    public void Solve_OfWhatLeakageDecides_SaysSo(string cards, string why)
    {
        var point = Solve(cards);
        Assert.True(point.Converged, why);
        Assert.All(point.NodeVolts, volts => Assert.True(double.IsFinite(volts)));
        Assert.NotEmpty(point.Notes);
    }

    [Theory]
    [InlineData(-5)]
    [InlineData(12)]
    [InlineData(20)]
    [InlineData(30)]
    public void Solve_OfResistorsOfAnySize_DividesByTheirRatio(int decades)
    {
        // The leakage that every node has, 1e15 ohms, is part of the truth where resistors pass it.
        var ohms = Math.Pow(10, decades);
        var lower = 1 / (1 / (3 * ohms) + 1e-15);
        var expected = lower / (ohms + lower);
        var point = Solve($"V1 a 0 1\nR1 a b 1e{decades}\nR2 b 0 3e{decades}");
        Assert.True(point.Converged);
        Assert.Equal(expected, point.NodeVolts[2], 6);
    }

    [Theory]
    [InlineData("1e-30")]
    [InlineData("1e-7")]
    public void Read_OfAResistorTooSmallToSolve_SaysWhatItIsTakenFor(string ohms)
    {
        var read = CircuitReader.ReadText($"t\nV1 a 0 1\nR1 a b {ohms}\nR2 b 0 1k", "x.cir");
        Assert.Contains(
            read.Diagnostics,
            found => found.Message.Contains("solved as 1 uΩ", StringComparison.Ordinal)
        );
    }

    [Theory]
    [InlineData(".model d d is=1e-30")]
    [InlineData(".model d d is=1e30")]
    [InlineData(".model d d n=1e-30 rs=1e30")]
    [InlineData(".model d d n=1e30")]
    [InlineData(".model d d is=-1e-14 n=0")]
    public void Solve_OfADiodeOfAnyParameters_IsFiniteOrRefused(string model)
    {
        var read = CircuitReader.ReadText($"t\n{model}\nV1 a 0 1\nR1 a b 1k\nD1 b 0 d", "x.cir");
        if (read.Circuit is { } circuit)
        {
            var point = new OperatingPointSolver().Solve(circuit);
            Assert.Equal(point.Converged, !point.NodeVolts.IsEmpty);
            Assert.All(point.NodeVolts, volts => Assert.True(double.IsFinite(volts)));
        }
        else
        {
            Assert.NotEmpty(read.Diagnostics);
        }
    }

    private static OperatingPoint Solve(string cards) =>
        new OperatingPointSolver().Solve(CircuitReader.ReadText("t\n" + cards, "x.cir").Circuit!);

    private static string Lines(int count, Func<int, string> line) =>
        string.Join('\n', Enumerable.Range(0, count).Select(line));
}

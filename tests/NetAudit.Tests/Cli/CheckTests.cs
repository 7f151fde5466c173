using Snapshooter.Xunit3;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The verb <c>check</c>.</summary>
public sealed class CheckTests
{
    private const string Slips = """
        Slips
        .include tubes.lib
        VHT  b 0 250
        XV1A p g k 12AX7
        R1   b p 101k
        C1   in g 22n
        R2   k 0 1.5k
        .end
        """;

    [Fact]
    public async Task Check_CircuitWithSlips_IsAsAgreed()
    {
        using var unit = new SmallUnit();

        var run = await CommandRun.HereAsync("", "check", unit.Write("slips.cir", Slips));

        Assert.Equal(1, run.ExitCode);
        run.Output.Replace(unit.Path(""), "", StringComparison.Ordinal)
            .MatchSnapshot("check-slips");
    }

    [Fact]
    public async Task Check_Json_HoldsEachFinding()
    {
        using var unit = new SmallUnit();

        var run = await CommandRun.HereAsync("", "check", unit.Write("slips.cir", Slips), "--json");

        var codes = run
            .Json.GetProperty("findings")
            .EnumerateArray()
            .Select(finding => finding.GetProperty("code").GetString());
        Assert.Equal(["grid-return", "lone-node", "idle-section", "off-series"], codes);
    }

    [Fact]
    public async Task Check_SoundCircuit_ExitsWithZero()
    {
        var run = await CommandRun.HereAsync(
            "",
            "check",
            Repository.File("sample-circuits/marram-5.cir")
        );

        Assert.Equal((0, "Marram 5, revision A: 0 findings\n"), (run.ExitCode, run.Output));
    }

    [Fact]
    public async Task Explain_Code_IsAsAgreed()
    {
        var run = await CommandRun.HereAsync("", "check", "--explain", "grid-return");

        Assert.Equal(0, run.ExitCode);
        run.Output.MatchSnapshot("check-explain");
    }

    [Theory]
    [InlineData("check")]
    [InlineData("check", "a.cir", "--explain", "grid-return")]
    [InlineData("check", "--explain", "grid-retrun")]
    public async Task Check_WrongCommandLine_IsRefused(params string[] args)
    {
        var run = await CommandRun.HereAsync("", args);

        Assert.Equal(2, run.ExitCode);
        Assert.NotEmpty(run.Error);
    }
}

using Snapshooter.Xunit3;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The verb <c>stress</c>.</summary>
public sealed class StressTests
{
    [Theory]
    [InlineData("marram-5")]
    [InlineData("marram-50-b")]
    [InlineData("marram-line")]
    public async Task Stress_SampleCircuit_IsAsAgreed(string circuit)
    {
        var run = await CommandRun.HereAsync(
            "",
            "stress",
            Repository.File($"sample-circuits/{circuit}.cir")
        );

        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
        run.Output.MatchSnapshot($"stress-{circuit}");
    }

    [Fact]
    public async Task Stress_Json_GivesRatioLimitAndConditions()
    {
        using var unit = new SmallUnit();

        var run = await CommandRun.HereAsync("", "stress", unit.Circuit, "--json");

        Assert.Equal(0, run.ExitCode);
        var first = run.Json.GetProperty("stresses")[0];
        Assert.Equal("R1", first.GetProperty("part").GetString());
        Assert.Equal(System.Text.Json.JsonValueKind.Null, first.GetProperty("limit").ValueKind);
        Assert.Equal(
            ["idle", "mains +10 %", "switch-on"],
            run.Json.GetProperty("conditions").EnumerateArray().Select(c => c.GetString())
        );
    }

    [Fact]
    public async Task Stress_OverstressedPart_ExitsWithOne()
    {
        using var unit = new SmallUnit();
        var sheet = unit.Write("small.sheet.toml", "[part.R3]\npower = \"1m\"\n");

        var run = await CommandRun.HereAsync("", "stress", unit.Circuit, "--sheet", sheet);

        Assert.Equal(1, run.ExitCode);
    }
}

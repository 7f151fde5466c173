using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>Readings of other kinds and conditions, observations and complaints, as a user sees them.</summary>
public sealed class EvidenceTests
{
    private static readonly string Circuit = Repository.File("sample-circuits/marram-20.cir");

    [Fact]
    public async Task Diagnose_EveryKindAtOnce_IsShownWithItsUnitWithinTheWidth()
    {
        var readings = """
            at,kind,value,ref,condition,note
            p2,dc,275,,,
            p2,ac,12m,,,
            out,ac,0.1m,,volume=0.7; signal=300u,
            out,listen,none,,inject c1,
            R8,ohms,OL,,off,
            p2,dc,200,k2,mains=85,
            R8,look,burnt,,,
            """;

        var run = await CommandRun.HereAsync(readings, "diagnose", Circuit, "-");

        Assert.Equal(1, run.ExitCode);
        Assert.Contains("6 readings, 1 observation", run.Output, StringComparison.Ordinal);
        foreach (var words in new[] { "275.0 V", "12 mV", "OL", "p2 to k2", "mains=85" })
        {
            Assert.Contains(words, run.Output, StringComparison.Ordinal);
        }
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    [Fact]
    public async Task Diagnose_ComplaintOnly_ProposesTheFirstReading()
    {
        var run = await CommandRun.HereAsync("", "diagnose", Circuit, "--complaint", "Hums");

        Assert.Equal(1, run.ExitCode);
        Assert.Contains("What to measure next", run.Output, StringComparison.Ordinal);
        Assert.Contains("Mind: ", run.Output, StringComparison.Ordinal);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    [Fact]
    public async Task Diagnose_ComplaintNobodyKnows_IsRefusedWithASuggestion()
    {
        var run = await CommandRun.HereAsync("", "diagnose", Circuit, "--complaint", "hum");

        Assert.Equal(2, run.ExitCode);
        Assert.Contains("did you mean hums?", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Diagnose_Json_HoldsNextReadings()
    {
        var run = await CommandRun.HereAsync(
            "at,value\np2,275\n",
            "diagnose",
            Circuit,
            "-",
            "--json"
        );

        var next = run.Json.GetProperty("next")[0];
        Assert.True(next.GetProperty("gain_bits").GetDouble() > 0);
        Assert.NotEmpty(next.GetProperty("caution").GetString()!);
    }

    [Fact]
    public async Task Session_OtherKinds_AreAnsweredOrLeftOutWithTheReason()
    {
        using var unit = new SmallUnit();
        var file = unit.Path("saved.csv");

        var run = await CommandRun.HereAsync(
            "p2 275\nV3 tap noisy\np4 1.2 ac @ off\nR8 OL ohms @ off\n",
            "diagnose",
            Circuit,
            "--save",
            file
        );

        Assert.Contains("V3 tap noisy: noted.", run.Output, StringComparison.Ordinal);
        Assert.Contains(
            "left out: with the power off there is",
            run.Output.ReplaceLineEndings(" ").Replace("     ", " ", StringComparison.Ordinal),
            StringComparison.Ordinal
        );
        Assert.Contains("R8 ohms OL: high by", run.Output, StringComparison.Ordinal);
        Assert.Contains("  next: ", run.Output, StringComparison.Ordinal);
        Assert.Contains("    mind: ", run.Output, StringComparison.Ordinal);
        Assert.Equal(5, File.ReadAllLines(file).Length);
    }

    [Theory]
    [InlineData("--off")]
    [InlineData("--levels")]
    [InlineData("--condition", "mains=85; volume=0.7")]
    [InlineData("--levels", "--condition", "inject c1; signal=1m")]
    [InlineData("--off", "--csv")]
    [InlineData("--off", "--json")]
    public async Task Expect_KindsAndConditions_AreShown(params string[] options)
    {
        var run = await CommandRun.HereAsync("", ["expect", Circuit, .. options]);

        Assert.Equal(0, run.ExitCode);
        Assert.DoesNotContain("unknown", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", run.Output, StringComparison.Ordinal);
        if (options[^1] is not ("--csv" or "--json"))
        {
            Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
            Assert.Contains("Before a hand goes in", run.Output, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("stanby", "did you mean standby?")]
    [InlineData("mains=9999", "no wall voltage")]
    [InlineData("off; off", "cannot both hold")]
    public async Task Expect_BadCondition_IsRefused(string condition, string words)
    {
        var run = await CommandRun.HereAsync("", "expect", Circuit, "--condition", condition);

        Assert.Equal(2, run.ExitCode);
        Assert.Contains(words, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Expect_LevelsWithThePowerOff_IsRefused()
    {
        var run = await CommandRun.HereAsync("", "expect", Circuit, "--off", "--levels");

        Assert.Equal(2, run.ExitCode);
        Assert.Contains("exclude each other", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Expect_WithoutSheet_SaysThatThereIsNoSignal()
    {
        using var unit = new SmallUnit();

        var run = await CommandRun.HereAsync("", "expect", unit.Circuit, "--levels");

        Assert.Equal(2, run.ExitCode);
        Assert.Contains("[signal]", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Diagnose_LevelThatNothingIsKnownOf_IsLeftOutWithTheReason()
    {
        using var unit = new SmallUnit();
        var readings = unit.Write("r.csv", "at,kind,value\nc,dc,18.3\nc,ac,1.2\n");

        var run = await CommandRun.HereAsync("", "diagnose", unit.Circuit, readings);

        Assert.Contains("c AC is left out", run.Output, StringComparison.Ordinal);
    }
}

using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The built command as others start it: a process with pipes.</summary>
public sealed class ProcessTests
{
    private const string Divider = "Divider\nV1 a 0 10\nR1 a b 1k\nR2 b 0 1k\n.end\n";

    [Fact]
    public async Task Solve_NetlistFromStandardInput_Answers()
    {
        var run = await CommandRun.ProcessAsync(Divider, "solve", "-", "--json");

        Assert.Equal(0, run.ExitCode);
        Assert.Equal(5, run.Json.GetProperty("nodes").GetProperty("b").GetDouble(), 6);
    }

    [Fact]
    public async Task Expect_InAPipe_FitsIn80ColumnsWithoutControlCodes()
    {
        var run = await CommandRun.ProcessAsync("", "expect", "sample-circuits/marram-20.cir");

        Assert.Equal(0, run.ExitCode);
        Assert.Empty(run.Error);
        Assert.DoesNotContain('\u001b', run.Output);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    [Theory]
    [InlineData("--help")]
    [InlineData("expect", "--help")]
    [InlineData("diagnose", "--help")]
    [InlineData("solve", "--help")]
    public async Task Help_EachVerb_ShowsExamples(params string[] args)
    {
        var run = await CommandRun.HereAsync("", args);

        Assert.Equal(0, run.ExitCode);
        Assert.Contains("Examples:", run.Output, StringComparison.Ordinal);
        Assert.Contains("Exit codes:", run.Output, StringComparison.Ordinal);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    [Fact]
    public async Task Version_IsPlain()
    {
        var run = await CommandRun.ProcessAsync("", "--version");

        Assert.Equal(0, run.ExitCode);
        Assert.Matches(@"^\d+\.\d+\.\d+\n$", run.Output);
    }

    [Fact]
    public async Task NoVerb_Is2()
    {
        var run = await CommandRun.ProcessAsync("");

        Assert.Equal(2, run.ExitCode);
    }
}

using Snapshooter.Xunit3;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The verb <c>consequences</c>.</summary>
public sealed class ConsequencesTests
{
    private static readonly string Circuit = Repository.File("sample-circuits/marram-5.cir");

    [Fact]
    public async Task Consequences_SampleCircuit_IsAsAgreed()
    {
        var run = await CommandRun.HereAsync("", "consequences", Circuit);

        Assert.Equal(1, run.ExitCode);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
        run.Output.MatchSnapshot("consequences-marram-5");
    }

    [Fact]
    public async Task Consequences_OfOnePart_AreAsAgreed()
    {
        var run = await CommandRun.HereAsync("", "consequences", Circuit, "--part", "C3");

        run.Output.MatchSnapshot("consequences-marram-5-c3");
    }

    [Fact]
    public async Task Consequences_Json_HoldsFaultsAndOverloads()
    {
        var run = await CommandRun.HereAsync("", "consequences", Circuit, "--json");

        var first = run.Json.GetProperty("consequences")[0];
        Assert.NotEqual(0, first.GetProperty("faults").GetArrayLength());
        Assert.NotEqual(0, first.GetProperty("overloads").GetArrayLength());
    }

    [Fact]
    public async Task Consequences_OfUnknownPart_AreRefused()
    {
        var run = await CommandRun.HereAsync("", "consequences", Circuit, "--part", "R99");

        Assert.Equal(2, run.ExitCode);
    }
}

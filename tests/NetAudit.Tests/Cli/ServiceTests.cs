using Snapshooter.Xunit3;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The verb <c>service</c>.</summary>
public sealed class ServiceTests
{
    private static readonly string Circuit = Repository.File("sample-circuits/marram-5.cir");

    [Fact]
    public async Task Service_OldUnit_IsAsAgreed()
    {
        var run = await CommandRun.HereAsync("", "service", Circuit, "--age", "50");

        Assert.Equal(1, run.ExitCode);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
        run.Output.MatchSnapshot("service-marram-5");
    }

    [Fact]
    public async Task Service_YoungUnit_RenewsNothingForItsAge()
    {
        var run = await CommandRun.HereAsync("", "service", Circuit, "--age", "19", "--json");

        Assert.Equal(0, run.ExitCode);
        var parts = run.Json.GetProperty("parts").EnumerateArray().ToArray();
        var c5 = parts.First(part => part.GetProperty("part").GetString() == "C5");
        // 275 V at 120 V mains less the winding's drop, 10 % up: above 290 V, so the 400 V of the sheet are the next standard rating.
        Assert.InRange(c5.GetProperty("worst").GetDouble(), 290, 305);
        Assert.Equal("47 uF, 400 V or more", c5.GetProperty("fit").GetString());
        Assert.False(c5.GetProperty("due").GetBoolean());
    }

    [Fact]
    public async Task Service_Csv_HasALineForEachPart()
    {
        var json = await CommandRun.HereAsync("", "service", Circuit, "--json");

        var csv = await CommandRun.HereAsync("", "service", Circuit, "--csv");

        var lines = csv.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal("part,reason,value,unit,rating,rating_unit,worst,fit,due,note", lines[0]);
        Assert.Equal(json.Json.GetProperty("parts").GetArrayLength() + 1, lines.Length);
    }
}

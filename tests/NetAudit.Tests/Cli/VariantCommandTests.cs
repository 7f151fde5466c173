using Snapshooter.Xunit3;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>compare, identify and calibrate as people and programs see them.</summary>
public sealed class VariantCommandTests : IDisposable
{
    private readonly SmallUnit _unit = new();

    public void Dispose() => _unit.Dispose();

    [Fact]
    public async Task Compare_TwoRevisions_IsAsAgreed()
    {
        var run = await CommandRun.HereAsync("", "compare", Sample("50-a"), Sample("50-b"));

        Assert.Equal(1, run.ExitCode);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
        run.Output.MatchSnapshot("compare-marram-50-a-b");
    }

    [Fact]
    public async Task Compare_DrawnByAnotherHand_IsAsAgreed()
    {
        var run = await CommandRun.HereAsync("", "compare", Sample("50-a"), Sample("50-c"));

        run.Output.MatchSnapshot("compare-marram-50-a-c");
    }

    [Fact]
    public async Task Compare_ThreeRevisions_FitIn80Columns()
    {
        var run = await CommandRun.HereAsync(
            "",
            "compare",
            Sample("50-a"),
            Sample("50-b"),
            Sample("50-c"),
            "--all"
        );

        Assert.Equal(1, run.ExitCode);
        Assert.All(run.Output.Split('\n'), line => Assert.InRange(line.Length, 0, 80));
    }

    [Fact]
    public async Task Compare_Itself_Is0()
    {
        var run = await CommandRun.HereAsync("", "compare", _unit.Circuit, _unit.Circuit);

        Assert.Equal(0, run.ExitCode);
    }

    [Fact]
    public async Task Compare_Json_HasTheAgreedShape()
    {
        var run = await CommandRun.HereAsync(
            "",
            "compare",
            Sample("50-a"),
            Sample("50-c"),
            "--json"
        );

        Assert.Equal(["variants", "comparisons", "notes"], Names(run.Json));
        var comparison = run.Json.GetProperty("comparisons")[0];
        Assert.Equal(
            [
                "first",
                "second",
                "differs",
                "removed",
                "added",
                "changed",
                "matches",
                "nodes",
                "voltages",
                "stresses",
                "gains",
                "response",
            ],
            Names(comparison)
        );
        Assert.Equal(
            ["first", "second", "first_part", "second_part", "confidence"],
            Names(comparison.GetProperty("matches")[0])
        );
    }

    [Fact]
    public async Task Compare_Csv_HasAColumnForEachFile()
    {
        var run = await CommandRun.HereAsync(
            "",
            "compare",
            Sample("50-a"),
            Sample("50-b"),
            "--csv"
        );

        var lines = run.Output.TrimEnd('\n').Split('\n');
        Assert.StartsWith("what,name,unit,", lines[0], StringComparison.Ordinal);
        Assert.Contains("value,R4,Ω,1500,1800", lines);
        Assert.All(
            lines.Where(line => !line.Contains('"')),
            line => Assert.Equal(5, line.Split(',').Length)
        );
    }

    [Fact]
    public async Task Identify_ReadingsOfRevisionB_IsAsAgreed()
    {
        var run = await CommandRun.HereAsync(
            "at,value\np1,168.5\nk1,1.471\nb5,251.1\nb1,460\n",
            "identify",
            "-",
            Sample("50-a"),
            Sample("50-b"),
            Sample("50-c")
        );

        run.Output.MatchSnapshot("identify-marram-50");
    }

    [Fact]
    public async Task Identify_UnknownPoints_Is2()
    {
        var run = await CommandRun.HereAsync(
            "at,value\nnowhere,1\n",
            "identify",
            "-",
            Sample("50-a"),
            Sample("50-b")
        );

        Assert.Equal(2, run.ExitCode);
        Assert.Contains("nowhere", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Calibrate_GoodUnit_WritesWhatDiagnoseTakes()
    {
        var file = _unit.Path("good.toml");
        var readings = _unit.Readings("R4   e 0 1k", "R4   e 0 1.03k");

        var made = await CommandRun.HereAsync("", "calibrate", _unit.Circuit, readings, "-o", file);
        var expected = await CommandRun.HereAsync(
            "",
            "expect",
            _unit.Circuit,
            "--calibration",
            file
        );

        Assert.Equal(0, made.ExitCode);
        Assert.Equal(0, expected.ExitCode);
        made.Output.Replace(file, "good.toml", StringComparison.Ordinal)
            .MatchSnapshot("calibrate-small-unit");
    }

    [Fact]
    public async Task Calibrate_FaultyUnit_Is1AndWritesNothing()
    {
        var file = _unit.Path("bad.toml");
        var readings = _unit.Readings("R4   e 0 1k", "R4   e 0 3.3k");

        var run = await CommandRun.HereAsync("", "calibrate", _unit.Circuit, readings, "-o", file);

        Assert.Equal(1, run.ExitCode);
        Assert.Contains("R4", run.Output, StringComparison.Ordinal);
        Assert.False(File.Exists(file));
    }

    [Theory]
    [InlineData("compare", "x.cir")]
    [InlineData("compare", "x.cir", "y.cir", "--csv", "--json")]
    [InlineData("identify", "r.csv", "x.cir")]
    [InlineData("calibrate", "no-such-file.cir")]
    [InlineData("compare", "no-such-file.cir", "no-such-file.cir")]
    public async Task AnyVerb_BadUsageOrFile_Is2(params string[] args)
    {
        var run = await CommandRun.HereAsync("", args);

        Assert.Equal(2, run.ExitCode);
        Assert.True(run.Error.Length + run.Output.Length > 0);
    }

    private static string Sample(string name) =>
        Repository.File($"sample-circuits/marram-{name}.cir");

    private static IEnumerable<string> Names(System.Text.Json.JsonElement element) =>
        element.EnumerateObject().Select(property => property.Name);
}

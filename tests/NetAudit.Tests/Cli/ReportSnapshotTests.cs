using Snapshooter.Xunit3;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>
/// What a person sees. After a wanted change: look at the files in __mismatch__, then move them over those in __snapshots__.
/// </summary>
public sealed class ReportSnapshotTests
{
    [Theory]
    [InlineData("expect", "marram-5")]
    [InlineData("expect", "marram-20")]
    [InlineData("expect", "marram-line")]
    [InlineData("levels", "marram-5")]
    [InlineData("levels", "marram-50-a")]
    [InlineData("response", "marram-20")]
    [InlineData("solve", "marram-5")]
    [InlineData("solve", "marram-50-a")]
    [InlineData("drive", "marram-5")]
    [InlineData("surge", "marram-50-a")]
    public async Task SampleCircuit_Report_IsAsAgreed(string verb, string circuit)
    {
        var run = await CommandRun.HereAsync(
            "",
            verb,
            Repository.File($"sample-circuits/{circuit}.cir")
        );

        Assert.Equal(0, run.ExitCode);
        run.Output.MatchSnapshot($"{verb}-{circuit}");
    }

    [Theory]
    [InlineData("marram-5", "unit1")]
    [InlineData("marram-5", "unit2")]
    [InlineData("marram-20", "unit3")]
    public async Task SampleUnit_Diagnosis_IsAsAgreed(string circuit, string unit)
    {
        var run = await CommandRun.HereAsync(
            "",
            "diagnose",
            Repository.File($"sample-circuits/{circuit}.cir"),
            Repository.File($"sample-circuits/readings/{circuit}-{unit}.csv")
        );

        run.Output.MatchSnapshot($"diagnose-{circuit}-{unit}");
    }

    [Fact]
    public async Task SmallUnit_DriftedResistor_IsAsAgreed()
    {
        using var unit = new SmallUnit();
        var readings = unit.Readings("R4   e 0 1k", "R4   e 0 3.3k");

        var run = await CommandRun.HereAsync("", "diagnose", unit.Circuit, readings);

        run.Output.MatchSnapshot("diagnose-small-unit");
    }
}

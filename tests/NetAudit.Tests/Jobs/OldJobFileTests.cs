using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>A job file that an earlier version wrote is kept as it was, and still opens.</summary>
public class OldJobFileTests
{
    [Fact]
    public void File_OfVersion1_OpensWhole()
    {
        var bytes = File.ReadAllBytes(
            Repository.File("tests/NetAudit.Tests/Data/jobs/version-1.json")
        );
        var (job, problems) = JobImport.Read(bytes, "version-1.json");
        Assert.Empty(problems);
        Assert.Equal("hums when warm", job!.Fields[JobField.Words]);
        Assert.Equal(["182", "OL"], job.Readings.Select(reading => reading.Value));
        Assert.Equal([false, true], job.Readings.Select(reading => reading.TakenBack));
        Assert.Equal("R11", Assert.Single(job.Steps).Part);
        Assert.Equal(60, Assert.Single(job.Prices).UnitPrice);
        Assert.NotNull(job.Circuit!.Read().Amplifier);
    }
}

using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>The readings files of sample-circuits.</summary>
public class SampleReadingsTests
{
    public static TheoryData<string> ReadingsFiles =>
        [
            .. Directory
                .GetFiles(Path.Combine(RepositoryFiles.Samples, "readings"), "*.csv")
                .Select(path => Path.GetFileName(path))
                .Order(),
        ];

    [Theory]
    [MemberData(nameof(ReadingsFiles))]
    public void Readings_OfSample_AreReadWithoutAnyComplaint(string file)
    {
        var circuit = file[..file.LastIndexOf("-unit", StringComparison.Ordinal)] + ".cir";
        var amplifier = SampleCircuitTests.Read(circuit);
        var path = Path.Combine(RepositoryFiles.Samples, "readings", file);
        var read = ReadingsFile.Read(path, amplifier);
        Assert.NotEmpty(read.Readings);
        Assert.Empty(read.Diagnostics.Select(d => d.ToString()));
    }
}

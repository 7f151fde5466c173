using Xunit;

namespace NetAudit.Tests.Architecture;

/// <summary>Files stay small enough to have one job.</summary>
public sealed class FileSizeTests
{
    private const int MostAtMedian = 120;
    private const int MostAt95Percent = 350;

    [Fact]
    public void SourceFiles_AreShort()
    {
        var lengths = Files().Select(file => File.ReadLines(file).Count()).Order().ToArray();

        Assert.InRange(lengths[lengths.Length / 2], 1, MostAtMedian);
        Assert.InRange(lengths[lengths.Length * 95 / 100], 1, MostAt95Percent);
    }

    private static IEnumerable<string> Files() =>
        Directory
            .EnumerateFiles(Repository.File("src"), "*.cs", SearchOption.AllDirectories)
            .Where(file =>
                !file.Contains("/obj/") && !file.Contains("/bin/") && !file.Contains("/Generated/")
            );
}

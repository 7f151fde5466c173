using NetAudit.Benchmarks.TubeFits;
using NetAudit.Circuits.Tubes;
using Xunit;

namespace NetAudit.Tests.Tubes;

public class TubeLibraryTests
{
    public static TheoryData<string> CatalogueTypes =>
        [.. TubeCatalogue.All.Select(type => type.Name)];

    // The fit takes a tenth of a second, so the whole of it is repeated.
    [Fact]
    public void TubesLib_AsCommitted_IsWhatTheFitWrites() =>
        Assert.Equal(FittedTubes.Library.Text(FittedTubes.Data), EmbeddedText.TubesLib);

    [Fact]
    public void FitTables_AsCommitted_AreWhatTheFitWrites()
    {
        var page = File.ReadAllText(Repository.File("docs/tubes.md"));
        var tables = FitReport.Markdown(FittedTubes.Data, FittedTubes.Library);
        Assert.Equal(FitTubesCommand.WithTables(page, tables), page);
    }

    [Theory]
    [MemberData(nameof(CatalogueTypes))]
    public void TubesLib_EachTypeOfTheBaseTable_HasSubcircuitWithItsPorts(string name)
    {
        var ports = TubeCatalogue.Find(name)!.Kind switch
        {
            "triode" => "P G K",
            "pentode" => "P G K S",
            _ => "P1 P2 K",
        };
        Assert.Contains($"\n.subckt {name} {ports} PARAMS:", EmbeddedText.TubesLib);
    }

    [Theory]
    [InlineData("12AX7", "ECC83")]
    [InlineData("12AT7", "ECC81")]
    [InlineData("12AU7", "ECC82")]
    [InlineData("EL84", "6BQ5")]
    [InlineData("EL34", "6CA7")]
    [InlineData("6V6GT", "6V6")]
    [InlineData("6L6GC", "6L6")]
    [InlineData("5AR4", "GZ34")]
    [InlineData("EZ81", "6CA4")]
    public void TubesLib_Alias_IsTheSameSubcircuit(string type, string alias)
    {
        Assert.Equal(Body(type), Body(alias));
        Assert.Equal(type, TubeCatalogue.Find(alias)?.Name);
    }

    private static string Body(string name)
    {
        var text = EmbeddedText.TubesLib;
        var start = text.IndexOf($"\n.subckt {name} ", StringComparison.Ordinal);
        Assert.True(start >= 0, name);
        var end = text.IndexOf(".ends", start, StringComparison.Ordinal);
        return text[(start + $"\n.subckt {name} ".Length)..end];
    }
}

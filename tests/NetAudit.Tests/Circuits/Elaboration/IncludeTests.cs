using System.Text;
using NetAudit.Circuits;
using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

public sealed class IncludeTests : IDisposable
{
    private readonly string root = Directory.CreateTempSubdirectory("netaudit-include").FullName;
    private readonly string folder;

    public IncludeTests()
    {
        folder = Path.Combine(root, "amp");
        Directory.CreateDirectory(folder);
    }

    public void Dispose() => Directory.Delete(root, recursive: true);

    [Theory]
    [InlineData(".include parts/r.inc")]
    [InlineData(".INCLUDE \"parts/r.inc\"")]
    [InlineData(".inc 'parts/r.inc'")]
    [InlineData(".include parts\\r.inc")]
    [InlineData(".lib parts/r.inc")]
    public void Include_BelowTheNetlist_IsRead(string card)
    {
        Write("amp/parts/r.inc", "R1 1 0 1k\n");
        Assert.Equal(["R1"], Read(card + "\n").Circuit!.Elements.Select(e => e.Name));
    }

    [Fact]
    public void Include_InAnInclude_IsRelativeToIt()
    {
        Write("amp/parts/a.inc", ".include b.inc\nR1 1 0 1k\n");
        Write("amp/parts/b.inc", "R2 1 0 {nope}\n");
        var error = Assert.Single(Read(".include parts/a.inc\n").Diagnostics);
        Assert.EndsWith(
            Path.Combine("parts", "b.inc"),
            error.Where!.Value.File,
            StringComparison.Ordinal
        );
        Assert.Equal((1, 9), (error.Where.Value.Line, error.Where.Value.Column));
    }

    [Fact]
    public void Include_OfLibraryFolder_IsRead()
    {
        Write("lib/r.inc", "R1 1 0 1k\n");
        Assert.NotNull(
            CircuitReader
                .ReadText("T\n.include r.inc\n", "x.cir", folder, Path.Combine(root, "lib"))
                .Circuit
        );
    }

    [Theory]
    [InlineData("../secret.inc")]
    [InlineData("parts/../../secret.inc")]
    [InlineData("/etc/passwd")]
    public void Include_OutsideTheFolders_IsRefused(string name)
    {
        Write("secret.inc", "R1 1 0 1k\n");
        Write("amp/parts/x.inc", "");
        var error = Assert.Single(Read($".include {name}\n").Diagnostics);
        Assert.Equal(Severity.Error, error.Severity);
        Assert.Contains("outside the netlist's folder", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Include_ByLinkOutOfTheFolder_IsRefused()
    {
        Write("secret.inc", "R1 1 0 1k\n");
        File.CreateSymbolicLink(Path.Combine(folder, "link.inc"), Path.Combine(root, "secret.inc"));
        Assert.Null(Read(".include link.inc\n").Circuit);
    }

    [Fact]
    public void Include_OfItself_IsToldNotFollowed()
    {
        Write("amp/a.inc", ".include b.inc\n");
        Write("amp/b.inc", ".include a.inc\n");
        var error = Assert.Single(
            Read("R1 1 0 1\n.include a.inc\n").Diagnostics,
            d => d.Severity == Severity.Error
        );
        Assert.Contains("includes itself", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Include_Twice_DefinesOnceWithoutComplaint()
    {
        Write("amp/m.inc", ".model d d(n=2)\n.subckt s p\nR1 p 0 1\n.ends\n");
        var result = Read(".include m.inc\n.include m.inc\nX1 1 s\nD1 1 0 d\n");
        Assert.NotNull(result.Circuit);
        Assert.Empty(result.Diagnostics);
    }

    [Fact]
    public void Sections_OfLibrary_CountOnlyWhenAskedFor()
    {
        Write("amp/c.lib", ".lib fast\n.param r=1\n.endl fast\n.lib slow\n.param r=2\n.endl\n");
        var circuit = Read(".lib c.lib slow\nR1 1 0 {r}\n").Circuit!;
        Assert.Equal(2, ((Resistor)circuit.Elements[0]).Ohms);
        var error = Read(".lib 'c.lib' slwo\nR1 1 0 1\n").Diagnostics[0];
        Assert.Equal("did you mean slow?", error.Mend);
    }

    [Fact]
    public void BuiltInLibrary_IsFound_UnlessAFileOfThatNameLiesBeside()
    {
        var builtIn = Read(".include tubes.lib\nX1 p g k 12AX7\nR1 p 0 1\nR2 g 0 1\nR3 k 0 1\n");
        Assert.True(builtIn.Circuit!.Instances[0].IsDevice);
        Write("amp/tubes.lib", ".subckt 12AX7 a\nR1 a 0 1k\n.ends\n");
        Assert.Single(Read(".lib tubes.lib\nX1 p 12AX7\n").Circuit!.Elements);
    }

    [Fact]
    public void Encodings_AreUnderstood()
    {
        const string text = "Röhre µ\nR1 Anschluß 0 22µ\n.end\n";
        foreach (
            var encoding in new Encoding[]
            {
                new UTF8Encoding(false),
                new UTF8Encoding(true),
                Encoding.Latin1,
                Encoding.Unicode,
                Encoding.BigEndianUnicode,
            }
        )
        {
            var path = Path.Combine(folder, "x.cir");
            File.WriteAllText(path, text, encoding);
            var circuit = CircuitReader.ReadFile(path).Circuit!;
            Assert.Equal("Röhre µ", circuit.Title);
            Assert.Equal("Anschluß", circuit.Nodes[1].Name);
            Assert.Equal(22e-6, ((Resistor)circuit.Elements[0]).Ohms);
        }
    }

    [Fact]
    public void File_ThatIsMissing_IsADiagnostic()
    {
        var result = CircuitReader.ReadFile(Path.Combine(folder, "none.cir"));
        Assert.Null(result.Circuit);
        Assert.Equal(Severity.Error, Assert.Single(result.Diagnostics).Severity);
        Assert.Null(CircuitReader.ReadFile(folder).Circuit);
    }

    private void Write(string name, string text)
    {
        var path = Path.Combine(root, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text);
    }

    private CircuitReadResult Read(string cards) =>
        CircuitReader.ReadText("Title\n" + cards, "test.cir", folder);
}

using Xunit;

namespace NetAudit.Tests.Documents;

/// <summary>The example of docs/library.md is the program that runs.</summary>
public class LibraryExampleTests
{
    [Fact]
    public void Example_InTheDocument_IsTheProgram() =>
        Assert.Contains(
            File.ReadAllText(Repository.File("tests/NetAudit.Example/Program.cs")),
            File.ReadAllText(Repository.File("docs/library.md")),
            StringComparison.Ordinal
        );

    [Fact]
    public async Task Example_OnASampleUnit_NamesTheFault()
    {
        var program = Path.Combine(AppContext.BaseDirectory, "NetAudit.Example.dll");
        var (code, output) = await ConsoleSession.ShellAsync(
            $"dotnet '{program}' sample-circuits/marram-5.cir sample-circuits/readings/marram-5-unit3.csv",
            Repository.File(".")
        );
        Assert.Equal(0, code);
        Assert.Contains("C3 open", output, StringComparison.Ordinal);
    }
}

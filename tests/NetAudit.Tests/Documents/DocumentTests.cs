using System.Text.RegularExpressions;
using NetAudit.Benchmarks.Figures;
using Xunit;

namespace NetAudit.Tests.Documents;

/// <summary>What the documents say is so.</summary>
public sealed partial class DocumentTests
{
    public static TheoryData<string> Documents =>
        [
            "README.md",
            "DEVELOPERS.md",
            .. Directory
                .EnumerateFiles(Repository.File("docs"), "*.md", SearchOption.AllDirectories)
                .Select(file => Path.GetRelativePath(Repository.File("."), file))
                .Order(StringComparer.Ordinal),
        ];

    [Theory]
    [MemberData(nameof(Documents))]
    public async Task Document_Sessions_PrintWhatTheyShow(string name)
    {
        var path = Repository.File(name);
        var document = await File.ReadAllTextAsync(path);

        var now = await ConsoleSession.RunAsync(document);

        if (Environment.GetEnvironmentVariable("NETAUDIT_WRITE_DOCUMENTS") == "1")
        {
            await File.WriteAllTextAsync(path, now);
            return;
        }
        Assert.Equal(document, now);
    }

    [Theory]
    [MemberData(nameof(Documents))]
    public async Task Document_Commands_AreWhatThereIs(string name)
    {
        var text = await File.ReadAllTextAsync(Repository.File(name));

        foreach (var command in WrittenCommand.Of(name, text))
        {
            await CommandChecks.CheckAsync(command);
        }
    }

    [Fact]
    public void Documents_Commands_AreFoundInEveryForm()
    {
        var commands = Documents.SelectMany(row =>
            WrittenCommand.Of(row.Data, File.ReadAllText(Repository.File(row.Data)))
        );

        Assert.Contains(
            commands,
            command => command is { Text: "source docs/netaudit-completion.bash", IsMention: false }
        );
        Assert.Contains(
            commands,
            command => command is { Text: "netaudit jobs learning off", IsMention: false }
        );
        Assert.Contains(
            commands,
            command => command is { Text: "netaudit check --explain CODE", IsMention: true }
        );
        Assert.Contains(
            commands,
            command => command is { Text: "expect --levels", IsMention: true }
        );
    }

    [Theory]
    [InlineData("accuracy --seed 1", true)]
    [InlineData("accuracy --seeds 1", false)]
    [InlineData("matching --seeds 40", true)]
    [InlineData("matching --seeds", false)]
    [InlineData("matching --circuits NAME", false)]
    [InlineData("fit-tubes --seed 1", false)]
    [InlineData("figures --command netaudit --pairs 10", true)]
    [InlineData(
        "dotnet run --project tests/NetAudit.Benchmarks -c Release -- next --evidence dc",
        false
    )]
    [InlineData("expect --levels", true)]
    [InlineData("expect --level", false)]
    public async Task Check_OptionOfAVerb_MustExist(string command, bool exists)
    {
        var check = await Record.ExceptionAsync(() =>
            CommandChecks.CheckAsync(new("a document", command, IsMention: true))
        );

        Assert.Equal(exists, check is null);
    }

    [Fact]
    public void Measure_OptionThatTheVerbDoesNotTake_IsRefusedWhereItIsRead() =>
        Assert.Throws<InvalidOperationException>(() => new Options([], ["seed"]).Count("seeds", 1));

    [Fact]
    public async Task Readme_MainCommand_FindsTheFaults()
    {
        var readme = await File.ReadAllTextAsync(Repository.File("README.md"));

        var command = Assert.Single(ConsoleSession.IndentedCommands(readme));
        var (code, output) = await ConsoleSession.ShellAsync(command, Repository.File("."));

        Assert.Equal(1, code);
        Assert.Contains("Suspects", output, StringComparison.Ordinal);
    }

    [Fact]
    public void Readme_TestCommand_Exists()
    {
        Assert.Contains(
            "\n    bash tests/run\n",
            File.ReadAllText(Repository.File("README.md")),
            StringComparison.Ordinal
        );
        Assert.True(File.Exists(Repository.File("tests/run")));
    }

    [Theory]
    [MemberData(nameof(Documents))]
    public void Document_Links_LeadSomewhere(string name)
    {
        var folder = Path.GetDirectoryName(Repository.File(name))!;
        var broken = Link()
            .Matches(File.ReadAllText(Repository.File(name)))
            .Select(match => match.Groups[1].Value.Split('#')[0])
            .Where(target => target.Length > 0 && !target.Contains("://", StringComparison.Ordinal))
            .Where(target => !Path.Exists(Path.Combine(folder, target)));

        Assert.Empty(broken);
    }

    [GeneratedRegex(@"\]\(([^)\s]+)\)")]
    private static partial Regex Link();
}

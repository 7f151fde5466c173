using System.CommandLine.Parsing;
using System.Reflection;
using NetAudit.Cli;
using NetAudit.Cli.Terminals;
using Xunit;

namespace NetAudit.Tests.Documents;

/// <summary>
/// How each kind of command in the documents is held to what there is. What takes long or changes the machine (building, publishing,
/// measuring) is not run: its verb, options, projects, tests and files must exist.
/// </summary>
internal static class CommandChecks
{
    private static readonly (string[] Words, Func<WrittenCommand, string[], Task> Check)[] Kinds =
    [
        (["netaudit"], (command, rest) => IsUnderstoodAsync(command, rest)),
        (
            ["dotnet", "run", "--project", "src/NetAudit.Cli"],
            (command, rest) => IsUnderstoodAsync(command, Program(rest))
        ),
        (
            ["dotnet", "run", "--project", "tests/NetAudit.Benchmarks"],
            (command, rest) => IsMeasured(command, Program(rest))
        ),
        (
            ["dotnet", "run", "-c", "Release", "--project", "tests/NetAudit.Benchmarks"],
            (command, rest) => IsMeasured(command, Program(rest))
        ),
        (
            ["dotnet", "run", "--project", "tests/NetAudit.Mutation"],
            (_, rest) => IsDrawn(Program(rest))
        ),
        (
            ["dotnet", "run", "--project", "tests/NetAudit.Fuzz"],
            (_, rest) => IsFuzzedForASecondAsync(Program(rest))
        ),
        (["dotnet", "test", "--project"], (_, rest) => NamesTests(rest[0], rest[1], rest[2])),
        (["dotnet", "build"], (_, rest) => Exists(rest[0])),
        (["dotnet", "pack"], (_, rest) => IsTool(rest[0])),
        (["dotnet", "tool"], (_, rest) => IsToolCommand(rest)),
        (["dotnet", "csharpier"], (_, _) => IsRestored("csharpier")),
        (["bash"], (_, rest) => IsScriptAsync("bash", rest[0])),
        (["sh"], (_, rest) => IsScriptAsync("sh", rest[0])),
        (["source"], (command, _) => SucceedsAsync(command.Text)),
        (
            ["./tests/NetAudit.Bench.Tests/bin/Release/net10.0/NetAudit.Bench.Tests", "-class"],
            (_, rest) => IsPageTest(rest[0])
        ),
        // Verbs with an option, the program left out.
        .. Benchmarks.Verbs.All.Keys.Select(verb =>
            (
                (string[])[verb],
                (Func<WrittenCommand, string[], Task>)(
                    (command, _) => IsMeasured(command, command.Words)
                )
            )
        ),
        (["expect"], (command, _) => IsUnderstoodAsync(command, command.Words)),
    ];

    /// <summary>Checks a command; a kind that nobody thought of fails.</summary>
    public static async Task CheckAsync(WrittenCommand command)
    {
        var words = command.Words;
        var kind = Kinds.FirstOrDefault(kind =>
            words.Take(kind.Words.Length).SequenceEqual(kind.Words)
        );
        Assert.True(
            kind.Check is not null,
            $"say in {nameof(CommandChecks)} how this is checked: {command.Text}"
        );
        await kind.Check(command, words[kind.Words.Length..]);
    }

    private static string[] Program(string[] words) =>
        [.. words.SkipWhile(word => word != "--").Skip(1)];

    // In a sentence what a verb needs may be left out, and words in capitals stand for something; the verb and its options must be there.
    private static Task IsUnderstoodAsync(WrittenCommand command, string[] words)
    {
        if (words is ["VERB", ..])
        {
            words[0] = "solve";
        }
        using var nothing = new StringWriter();
        var parsed = CommandLine
            .Root(new StandardStreams(TextReader.Null, nothing, nothing))
            .Parse(words);
        Assert.Empty(parsed.UnmatchedTokens);
        Assert.DoesNotContain(
            parsed.Tokens,
            token =>
                token.Type == TokenType.Argument
                && token.Value.StartsWith("--", StringComparison.Ordinal)
        );
        if (!command.IsMention)
        {
            Assert.Empty(parsed.Errors.Select(error => error.Message));
        }
        return Task.CompletedTask;
    }

    private static Task IsMeasured(WrittenCommand command, string[] words)
    {
        if (words[0] != "VERB")
        {
            var verb = Assert.Contains(words[0], Benchmarks.Verbs.All.AsReadOnly());
            var wrong = verb.FirstWrong(words[1..]);
            Assert.True(wrong is null, $"{wrong} in {command.Document}: {command.Text}");
        }
        return Task.CompletedTask;
    }

    // SEED COUNT FOLDER...
    private static Task IsDrawn(string[] words)
    {
        Assert.All(words[..2], word => Assert.True(int.TryParse(word, out _), word));
        Assert.All(
            words[2..],
            folder =>
                Assert.True(Directory.Exists(Repository.File($"src/NetAudit/{folder}")), folder)
        );
        return Task.CompletedTask;
    }

    // loop TARGET INPUTS FOUND SECONDS SEED
    private static async Task IsFuzzedForASecondAsync(string[] words)
    {
        var found = Directory.CreateTempSubdirectory("netaudit-found-");
        try
        {
            words[3] = found.FullName;
            words[4] = "1";
            var program = Path.Combine(AppContext.BaseDirectory, "NetAudit.Fuzz.dll");
            await SucceedsAsync($"dotnet '{program}' {string.Join(' ', words)}");
        }
        finally
        {
            found.Delete(recursive: true);
        }
    }

    private static Task NamesTests(string project, string filter, string name)
    {
        Assert.Equal("tests/NetAudit.Tests", project);
        var classes = Assembly.GetExecutingAssembly().GetTypes();
        Assert.Contains(
            classes,
            type =>
                filter switch
                {
                    "--filter-namespace" => type.Namespace == name,
                    "--filter-class" => type.FullName == name,
                    _ => false,
                }
        );
        return Task.CompletedTask;
    }

    private static Task IsPageTest(string pattern)
    {
        Assert.StartsWith("*", pattern, StringComparison.Ordinal);
        Assert.NotEmpty(
            Directory.EnumerateFiles(
                Repository.File("tests/NetAudit.Bench.Tests"),
                pattern + ".cs",
                SearchOption.AllDirectories
            )
        );
        return Task.CompletedTask;
    }

    private static Task IsTool(string project)
    {
        var text = File.ReadAllText(
            Repository.File($"{project}/{Path.GetFileName(project)}.csproj")
        );
        Assert.Contains("<PackAsTool>true</PackAsTool>", text, StringComparison.Ordinal);
        Assert.Contains(
            "<ToolCommandName>netaudit</ToolCommandName>",
            text,
            StringComparison.Ordinal
        );
        return Task.CompletedTask;
    }

    private static Task IsToolCommand(string[] words) =>
        words[0] is "install" or "uninstall" or "update" && words.Length > 2
            ? IsTool("src/" + words[2])
        : words[0] is "restore" or "update" ? Task.CompletedTask
        : throw new InvalidOperationException($"dotnet tool {words[0]}");

    private static Task IsRestored(string tool)
    {
        Assert.Contains(
            $"\"{tool}\"",
            File.ReadAllText(Repository.File(".config/dotnet-tools.json")),
            StringComparison.Ordinal
        );
        return Task.CompletedTask;
    }

    private static Task Exists(string file)
    {
        Assert.True(Path.Exists(Repository.File(file)), file);
        return Task.CompletedTask;
    }

    private static Task IsScriptAsync(string shell, string script) =>
        SucceedsAsync($"{shell} -n {script}");

    private static async Task SucceedsAsync(string command)
    {
        var (code, output) = await ConsoleSession.ShellAsync(command, Repository.File("."));
        Assert.True(code == 0, $"{command}: {output}");
    }
}

using NetAudit.Common;
using NetAudit.Tests.Cli;
using Xunit;

namespace NetAudit.Tests.Hostile;

/// <summary>Files that are no texts, and texts that would play with the terminal, as the command takes them.</summary>
public sealed class HostileFileTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("netaudit-");

    private static readonly string Sample = Repository.File("sample-circuits/marram-5.cir");

    [Theory]
    [InlineData("solve", "/dev/zero")]
    [InlineData("solve", "/")]
    [InlineData("solve", "")]
    [InlineData("expect", "SAMPLE", "--sheet", "/dev/zero")]
    [InlineData("expect", "SAMPLE", "--sheet", "")]
    [InlineData("expect", "SAMPLE", "--calibration", "/dev/zero")]
    [InlineData("diagnose", "SAMPLE", "/dev/zero")]
    [InlineData("diagnose", "SAMPLE", "/")]
    [InlineData("jobs", "import", "/dev/zero")]
    public async Task Command_OnNoText_IsRefused(params string[] args)
    {
        var run = await CommandRun.HereAsync(
            "",
            [.. args.Select(arg => arg == "SAMPLE" ? Sample : arg)]
        );
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("error: ", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("stress")]
    [InlineData("surge")]
    [InlineData("consequences")]
    [InlineData("service")]
    [InlineData("check")]
    [InlineData("expect")]
    public async Task Command_OnACircuitOfHardlyAnything_Answers(string verb)
    {
        var path = Write("a.cir", "t\nV1 a 0 1\nR1 a 0 1k\n");
        var run = await CommandRun.HereAsync("", verb, path);
        Assert.InRange(run.ExitCode, 0, 2);
    }

    [Fact]
    public async Task Command_OnNamesThatSteerATerminal_ShowsThemHarmless()
    {
        var path = Write(
            "a.cir",
            "t\u001b[2J\nV1 a\u001b[31m 0 1\nR1 a\u001b[31m \u202eb 1k\nR2 \u202eb 0 1k\nR3 \u0007\n"
        );
        var refused = await CommandRun.HereAsync("", "solve", path);
        Write(
            "a.cir",
            "t\u001b[2J\nV1 a\u001b[31m 0 1\nR1 a\u001b[31m \u202eb 1k\nR2 \u202eb 0 1k\n"
        );
        var solved = await CommandRun.HereAsync("", "solve", path);
        Assert.Equal(2, refused.ExitCode);
        Assert.Equal(0, solved.ExitCode);
        Assert.All(
            refused.Error + solved.Output,
            c => Assert.False(c is '\u001b' or '\u202e' or '\u0007')
        );
    }

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public void ReadBytes_OfMoreThanTheBound_Stops()
    {
        var problem = Assert.Throws<IOException>(() => InputFile.ReadBytes("/dev/zero", 1000));
        Assert.Contains("1000", problem.Message, StringComparison.Ordinal);
    }

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder.FullName, name);
        File.WriteAllText(path, text);
        return path;
    }
}

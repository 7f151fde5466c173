using NetAudit.Tests.Documents;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>What Tab offers.</summary>
public class CompletionTests
{
    [Theory]
    [InlineData("netaudit so", "solve")]
    [InlineData("netaudit jobs im", "import")]
    [InlineData("netaudit expect a.cir --lev", "--levels")]
    [InlineData("netaudit new x --ch", "--chain")]
    [InlineData("netaudit new x --chain ", "gain")]
    [InlineData("netaudit drive a.cir --", "--json")]
    public async Task Suggest_AtTheEndOfALine_OffersWhatMayFollow(string line, string word)
    {
        var run = await CommandRun.HereAsync("", $"[suggest:{line.Length}]", line);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains(word, run.Output.Split('\n'));
    }

    [Fact]
    public async Task Script_InBash_CompletesAVerb()
    {
        var (_, output) = await ConsoleSession.ShellAsync(
            "source docs/netaudit-completion.bash; COMP_LINE='netaudit sol'; COMP_POINT=12; COMP_WORDS=(netaudit sol); COMP_CWORD=1; "
                + "_netaudit; echo \"${COMPREPLY[@]}\"",
            Repository.File(".")
        );
        Assert.Equal("solve\n", output);
    }

    [Theory]
    [InlineData("new")]
    [InlineData("new", "x")]
    [InlineData("new", "x", "--chain")]
    [InlineData("new", "--chain", "gain,supply")]
    public async Task New_WithoutWhatItNeeds_IsRefused(params string[] args)
    {
        var run = await CommandRun.HereAsync("", args);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("error: ", run.Error, StringComparison.Ordinal);
    }
}

using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>Readings taken one at a time, here through a pipe.</summary>
public sealed class SessionTests : IDisposable
{
    private readonly SmallUnit _unit = new();

    private string Saved => File.ReadAllText(_unit.Path("saved.csv"));

    public void Dispose() => _unit.Dispose();

    [Fact]
    public async Task Session_Readings_AreSavedInOrderAndAnswered()
    {
        var run = await RunAsync("c 23.9", "e 3.55", "quit", "b 24");

        Assert.Equal("at,kind,value,ref,condition,note\nc,dc,23.9,,,\ne,dc,3.55,,,\n", Saved);
        Assert.Contains("c 23.90 V: high by", run.Output, StringComparison.Ordinal);
        Assert.Contains("suspect ", run.Output, StringComparison.Ordinal);
        Assert.Equal(1, run.ExitCode);
    }

    [Fact]
    public async Task Session_Undo_TakesReadingsOutOfTheFile()
    {
        var run = await RunAsync("b 24", "c 0.3", "undo", "undo", "undo");

        Assert.Equal("", Saved);
        Assert.Contains("Taken back: c.", run.Output, StringComparison.Ordinal);
        Assert.Contains("Taken back: b.", run.Output, StringComparison.Ordinal);
        Assert.Contains("Nothing of this session is left", run.Output, StringComparison.Ordinal);
        Assert.Equal(0, run.ExitCode);
    }

    [Fact]
    public async Task Session_EarlierFile_IsGoneOnWithAndNotUndone()
    {
        await RunAsync("b 24");
        var run = await RunAsync("n1 4.2", "undo", "undo");

        Assert.Equal("at,kind,value,ref,condition,note\nb,dc,24,,,\n", Saved);
        Assert.Contains("holds 1 reading already", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("zz 12", "no point")]
    [InlineData("c", "needs a point and a value")]
    [InlineData("c twelve", "")]
    public async Task Session_LineThatIsNoReading_IsRefusedAndNotSaved(string line, string words)
    {
        var run = await RunAsync(line);

        Assert.False(File.Exists(_unit.Path("saved.csv")));
        Assert.Contains("Not taken: ", run.Output, StringComparison.Ordinal);
        Assert.Contains(words, run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Session_PointsHelpReport_AnswerWithoutSaving()
    {
        var run = await RunAsync("points", "help", "report");

        Assert.Contains("No readings yet.", run.Output, StringComparison.Ordinal);
        Assert.False(File.Exists(_unit.Path("saved.csv")));
    }

    [Fact]
    public async Task Session_Cautions_ComeBeforeTheFirstAnswer()
    {
        var run = await RunAsync("b 24");

        var caution = run.Output.IndexOf("Before a hand goes in", StringComparison.Ordinal);
        Assert.InRange(caution, 0, run.Output.IndexOf("b 24.00 V", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Session_FileThatCannotBeWritten_IsSaidAndNothingIsAnswered()
    {
        var file = _unit.Path("no-such-folder/saved.csv");

        var run = await CommandRun.HereAsync("b 24\n", "diagnose", _unit.Circuit, "--save", file);

        Assert.Contains("could not be written", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("b 24.00 V", run.Output, StringComparison.Ordinal);
    }

    private Task<CommandRun> RunAsync(params string[] lines) =>
        CommandRun.HereAsync(
            string.Join("\n", lines) + "\n",
            "diagnose",
            _unit.Circuit,
            "--save",
            _unit.Path("saved.csv")
        );
}

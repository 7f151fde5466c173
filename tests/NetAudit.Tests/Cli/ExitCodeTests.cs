using NetAudit.Cli;
using NetAudit.Cli.Terminals;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>0 nothing wrong, 1 found, 2 bad input or usage, 130 cancelled.</summary>
public sealed class ExitCodeTests : IDisposable
{
    private const string Load = "R3   b c 4.7k";
    private const string OpenLoad = "R3   b c 1000Meg";

    private readonly SmallUnit _unit = new();

    public void Dispose() => _unit.Dispose();

    [Fact]
    public async Task Diagnose_HealthyReadings_Is0()
    {
        var run = await CommandRun.HereAsync("", "diagnose", _unit.Circuit, _unit.Readings());

        Assert.Equal(0, run.ExitCode);
        Assert.Contains(
            "Nothing wrong that these readings can show",
            run.Output,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Diagnose_OpenResistor_Is1AndNamesIt()
    {
        var run = await CommandRun.HereAsync(
            "",
            "diagnose",
            _unit.Circuit,
            _unit.Readings(Load, OpenLoad)
        );

        Assert.Equal(1, run.ExitCode);
        Assert.Contains("R3", run.Output, StringComparison.Ordinal);
        Assert.Contains("Before a hand goes in", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Diagnose_ReadingsFromStandardInput_AreWeighed()
    {
        var readings = await File.ReadAllTextAsync(_unit.Readings(Load, OpenLoad));

        var run = await CommandRun.HereAsync(readings, "diagnose", _unit.Circuit, "-");

        Assert.Equal(1, run.ExitCode);
    }

    [Theory]
    [InlineData("diagnose")]
    [InlineData("diagnose", "x.cir")]
    [InlineData("diagnose", "x.cir", "y.csv", "--save", "z.csv")]
    [InlineData("diagnose", "x.cir", "y.csv", "--faults", "9")]
    [InlineData("diagnose", "-", "-")]
    [InlineData("expect", "x.cir", "--csv", "--json")]
    [InlineData("expect")]
    [InlineData("audition", "x.cir")]
    [InlineData("solve", "x.cir", "--unheard-of")]
    [InlineData("solve", "no-such-file.cir")]
    [InlineData("expect", "no-such-file.cir")]
    public async Task AnyVerb_BadUsageOrFile_Is2WithWords(params string[] args)
    {
        var run = await CommandRun.HereAsync("", args);

        Assert.Equal(2, run.ExitCode);
        if (!args.Contains("--json"))
        {
            Assert.Contains("error: ", run.Error, StringComparison.Ordinal);
            Assert.Empty(run.Output);
        }
    }

    [Fact]
    public async Task Diagnose_ReadingOfUnknownPoint_Is2AndPointsAtIt()
    {
        var readings = _unit.Write("wrong.csv", "at,value\nee,1.2\n");

        var run = await CommandRun.HereAsync("", "diagnose", _unit.Circuit, readings);

        Assert.Equal(2, run.ExitCode);
        Assert.Contains("wrong.csv:2:1: error: ", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Diagnose_SheetStillEmpty_Is2()
    {
        var blank = await CommandRun.HereAsync("", "expect", _unit.Circuit, "--csv");
        var readings = _unit.Write("blank.csv", blank.Output);

        var run = await CommandRun.HereAsync("", "diagnose", _unit.Circuit, readings);

        Assert.Equal(2, run.ExitCode);
        Assert.Contains(
            "holds no reading that can be weighed",
            run.Error,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task Diagnose_Cancelled_Is130()
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        using var cancelled = new CancellationTokenSource();
        await cancelled.CancelAsync();

        var code = await CommandLine.RunAsync(
            ["diagnose", _unit.Circuit, _unit.Readings(Load, OpenLoad)],
            new StandardStreams(TextReader.Null, output, error),
            cancelled.Token
        );

        Assert.Equal(130, code);
        Assert.Equal("Cancelled.\n", error.ToString());
    }
}

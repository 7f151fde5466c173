using System.Text.Json;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The verbs <c>levels</c> and <c>response</c>: forms of the answer, and what they refuse.</summary>
public sealed class LevelCommandTests
{
    private static readonly string Circuit = Repository.File("sample-circuits/marram-5.cir");

    [Fact]
    public async Task Levels_Json_HasTheAgreedShape()
    {
        var answer = (await CommandRun.HereAsync("", "levels", Circuit, "--json")).Json;

        Assert.Equal("source frequency volts input_ohms points stages loads", Names(answer));
        Assert.Equal("at name stage volts phase differs", Names(answer.GetProperty("points")[0]));
        Assert.Equal(
            "stage from to gain gain_db fed_in input_ohms output_ohms",
            Names(answer.GetProperty("stages")[0])
        );
        Assert.Equal(
            "element ohms volts one_watt_volts output_ohms",
            Names(answer.GetProperty("loads")[0])
        );
    }

    [Fact]
    public async Task Response_Json_HasTheAgreedShape()
    {
        var answer = (await CommandRun.HereAsync("", "response", Circuit, "--json")).Json;

        Assert.Equal("from to reference low high points", Names(answer));
        Assert.Equal("frequency gain gain_db phase", Names(answer.GetProperty("reference")));
        Assert.Equal(31, answer.GetProperty("points").GetArrayLength());
    }

    [Fact]
    public async Task Levels_Csv_HasALineAPoint()
    {
        var run = await CommandRun.HereAsync("", "levels", Circuit, "--csv");

        Assert.StartsWith("at,volts,phase\nin,0.005,", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Response_Plot_IsADrawingWithItsCorners()
    {
        var folder = Directory.CreateTempSubdirectory("netaudit-");
        var file = Path.Combine(folder.FullName, "response.svg");
        var run = await CommandRun.HereAsync("", "response", Circuit, "--csv", "--plot", file);
        var drawing = await File.ReadAllTextAsync(file);
        folder.Delete(recursive: true);

        Assert.Equal(0, run.ExitCode);
        Assert.StartsWith(
            "frequency,gain,gain_db,phase\n20,",
            run.Output,
            StringComparison.Ordinal
        );
        Assert.Contains("<svg", drawing, StringComparison.Ordinal);
        Assert.Contains("</svg>", drawing, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("no point \"p99\"", "response", "--to", "p99")]
    [InlineData("no frequency", "levels", "--frequency", "-5")]
    [InlineData("no frequency", "levels", "--frequency", "loud")]
    [InlineData("not known", "levels", "--condition", "upside-down")]
    [InlineData("power off", "levels", "--condition", "off")]
    [InlineData("cannot be written", "response", "--plot", "/nowhere/at/all.svg")]
    public async Task Verb_WithSomethingWrong_SaysSo(
        string words,
        string verb,
        string option,
        string value
    )
    {
        var run = await CommandRun.HereAsync("", verb, Circuit, option, value);

        Assert.Equal(2, run.ExitCode);
        Assert.Contains(words, run.Error, StringComparison.Ordinal);
    }

    private static string Names(JsonElement element) =>
        string.Join(' ', element.EnumerateObject().Select(property => property.Name));
}

using System.Text.Json;
using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Cli;

/// <summary>The JSON that programs rely on: names, order and kinds of values.</summary>
public sealed class JsonContractTests : IDisposable
{
    private readonly SmallUnit _unit = new();

    public void Dispose() => _unit.Dispose();

    [Fact]
    public async Task Diagnose_Fault_HasTheAgreedShape()
    {
        var readings = _unit.Readings("R3   b c 4.7k", "R3   b c 1000Meg");

        var answer = (
            await CommandRun.HereAsync("", "diagnose", _unit.Circuit, readings, "--json")
        ).Json;

        Assert.Equal("verdict healthy suspects stages readings next unseen", Names(answer));
        Assert.Equal("fault", answer.GetProperty("verdict").GetString());
        var suspects = answer.GetProperty("suspects").EnumerateArray().ToArray();
        Assert.Equal(
            "probability stage faults equivalents consistency also_look_at",
            Names(suspects[0])
        );
        var fault = suspects[0].GetProperty("faults")[0];
        Assert.Equal("part mode pin nodes value unit", Names(fault));
        Assert.Equal("R3", fault.GetProperty("part").GetString());
        Assert.Equal("name deviation fault_probability", Names(answer.GetProperty("stages")[0]));
        Assert.Equal(
            "at kind condition measured expected low high deviation given_others questionable",
            Names(answer.GetProperty("readings")[0])
        );
        Assert.Equal(JsonValueKind.Array, answer.GetProperty("next").ValueKind);
        var total =
            answer.GetProperty("healthy").GetDouble()
            + suspects.Sum(suspect => suspect.GetProperty("probability").GetDouble());
        Assert.InRange(total, 0.5, 1 + 1e-6);
    }

    [Fact]
    public async Task Diagnose_Healthy_SaysWithinLimits()
    {
        var run = await CommandRun.HereAsync(
            "",
            "diagnose",
            _unit.Circuit,
            _unit.Readings(),
            "--json"
        );

        Assert.Equal("within-limits", run.Json.GetProperty("verdict").GetString());
    }

    [Fact]
    public async Task Solve_Converged_HasTheAgreedShape()
    {
        var answer = (await CommandRun.HereAsync("", "solve", _unit.Circuit, "--json")).Json;

        Assert.Equal("converged nodes branches strategy iterations residual notes", Names(answer));
        Assert.True(answer.GetProperty("converged").GetBoolean());
        Assert.Equal(24, answer.GetProperty("nodes").GetProperty("b").GetDouble(), 9);
        // Current counts from the first terminal through the source: a supply that gives current has a negative one.
        Assert.InRange(answer.GetProperty("branches").GetProperty("VCC").GetDouble(), -0.1, -1e-4);
    }

    [Fact]
    public void Solve_NotConverged_HasNoNumbersButTheWorstNodes()
    {
        var circuit = CircuitReader
            .ReadText("None\nV1 a 0 1\nR1 a 0 1k\n.end\n", "none.cir")
            .Circuit!;
        var none = new OperatingPoint
        {
            Converged = false,
            Strategy = "none",
            Iterations = 400,
            Residual = double.NaN,
            Notes = ["node a would not settle"],
        };

        var answer = JsonDocument.Parse(OperatingPointJson.ToText(circuit, none)).RootElement;

        Assert.False(answer.GetProperty("converged").GetBoolean());
        Assert.Equal(JsonValueKind.Null, answer.GetProperty("nodes").ValueKind);
        Assert.Equal(JsonValueKind.Null, answer.GetProperty("residual").ValueKind);
        Assert.Equal("node a would not settle", answer.GetProperty("notes")[0].GetString());
    }

    [Fact]
    public async Task Expect_EveryPoint_HasLimits()
    {
        var answer = (await CommandRun.HereAsync("", "expect", _unit.Circuit, "--json")).Json;

        var readings = answer.GetProperty("readings").EnumerateArray().ToArray();
        Assert.Equal(4, readings.Length);
        Assert.All(
            readings,
            reading =>
            {
                Assert.Equal(
                    "at name stage kind condition expected low high unit differs",
                    Names(reading)
                );
                var expected = reading.GetProperty("expected").GetDouble();
                Assert.InRange(
                    expected,
                    reading.GetProperty("low").GetDouble(),
                    reading.GetProperty("high").GetDouble()
                );
            }
        );
    }

    [Theory]
    [InlineData("solve")]
    [InlineData("expect")]
    public async Task AnyVerb_BrokenNetlist_GivesErrorsAsJson(string verb)
    {
        var broken = _unit.Write("broken.cir", "Broken\nR1 a 0\nQ1 a b 0 NONE\n.end\n");

        var run = await CommandRun.HereAsync("", verb, broken, "--json");

        Assert.Equal(2, run.ExitCode);
        Assert.Empty(run.Error);
        Assert.True(run.Json.GetArrayLength() >= 2);
        var first = run.Json[0];
        Assert.Equal("file line column severity message mend", Names(first));
        Assert.Equal(2, first.GetProperty("line").GetInt32());
        Assert.Equal("error", first.GetProperty("severity").GetString());
    }

    [Fact]
    public async Task AnyVerb_BadUsage_GivesErrorsAsJson()
    {
        var run = await CommandRun.HereAsync("", "diagnose", _unit.Circuit, "--json");

        Assert.Equal(2, run.ExitCode);
        Assert.Contains(
            "readings file",
            run.Json[0].GetProperty("message").GetString(),
            StringComparison.Ordinal
        );
    }

    private static string Names(JsonElement element) =>
        string.Join(" ", element.EnumerateObject().Select(property => property.Name));
}

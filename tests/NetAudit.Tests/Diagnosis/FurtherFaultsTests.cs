using System.Text.Json;
using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>What may be wrong besides the first suspect: the more was read, the less, and what is masked stays.</summary>
public sealed class FurtherFaultsTests
{
    private static readonly DiagnosisOptions Options = new() { MaxFaults = 2, WithNext = true };

    // Before any reading one in 3.5 units with a fault has another: odds of 0.4.
    private const double BeforeAnyReading = 0.4 / 1.4;

    [Fact]
    public void Unseen_TheMoreIsRead_TheLessIsLeft()
    {
        var bench = new SimulatedBench("marram-20", ("R8 drifted", 300e3));
        string[] levels = ["g1 ac @ signal=5m", "p2 ac", "out ac", "p4 ac", "c1 ac"];

        var few = bench.Diagnose([bench.Take("p2"), bench.Take("k2")], Options);
        var volts = bench.Diagnose(bench.EveryVoltage(), Options);
        var both = bench.Diagnose(bench.EveryVoltage().Concat(levels.Select(bench.Take)), Options);

        Assert.InRange(few.Unseen, 0.1, BeforeAnyReading);
        Assert.InRange(volts.Unseen, 0.01, 0.6 * few.Unseen);
        Assert.InRange(both.Unseen, 0.001, 0.95 * volts.Unseen);
        // One fault is nearly certain and a further one improbable: the next step is the repair.
        Assert.InRange(both.Suspects[0].Probability, 0.97, 1);
        Assert.InRange(both.Unseen, 0, 0.1);
        Assert.Empty(both.Next);
    }

    [Fact]
    public void Unseen_FaultThatSilencesTheRest_LeavesRoomBehindIt()
    {
        string[] readings = ["k1", "p1 dc", "out ac", "p2 ac", "p4 ac"];
        var silent = new SimulatedBench("marram-20", ("V1 not heated", null));
        var weak = new SimulatedBench("marram-20", ("R8 drifted", 300e3));

        var masked = silent.Diagnose(readings.Select(silent.Take), Options);
        var open = weak.Diagnose(readings.Select(weak.Take), Options);

        Assert.True(masked.Unseen > 1.3 * open.Unseen, $"{masked.Unseen}, {open.Unseen}");
    }

    [Fact]
    public void Next_OneFaultProbable_LooksWhereNothingHasLooked()
    {
        var bench = new SimulatedBench("marram-20", ("R8 drifted", 300e3));
        string[] readings = ["p2", "k2", "p3", "k3", "b2", "b3"];

        var result = bench.Diagnose(readings.Select(bench.Take), Options);

        Assert.True(result.Suspects[0].Probability > 0.5);
        Assert.Contains(
            result.Next,
            next => next.Why.StartsWith("would show ", StringComparison.Ordinal)
        );
        var words = VerdictWords.Besides(result);
        Assert.NotNull(words);
        using var json = JsonDocument.Parse(DiagnosisJson.ToText(result));
        Assert.Equal(result.Unseen, json.RootElement.GetProperty("unseen").GetDouble(), 1e-6);
    }

    [Fact]
    public void Unseen_WithoutAReadingOrASuspect_IsNotKnown()
    {
        var bench = new SimulatedBench("marram-20");

        Assert.True(double.IsNaN(bench.Diagnose([], Options with { Complaint = "hums" }).Unseen));
        Assert.True(double.IsNaN(bench.Diagnose([], Options).Unseen));
        var single = bench.Diagnose([bench.Take("p2")], Options with { MaxFaults = 1 });
        Assert.True(double.IsNaN(single.Unseen));
    }
}

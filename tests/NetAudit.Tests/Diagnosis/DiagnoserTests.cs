using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public sealed class DiagnoserTests
{
    [Theory]
    [InlineData("marram-5")]
    [InlineData("marram-20")]
    [InlineData("marram-line")]
    public void Diagnose_NominalUnit_IsWithinLimits(string sample)
    {
        var result = BenchUnit.Of(sample).Diagnose(2);
        Assert.Equal(Verdict.WithinLimits, result.Verdict);
        Assert.All(result.Readings, r => Assert.InRange(r.Measured(), r.Low, r.High));
        AssertSumsToAtMostOne(result);
    }

    [Theory]
    [InlineData("R3 open")]
    [InlineData("R8 open")]
    [InlineData("C8 short")]
    [InlineData("V1 pin 1: joint open")]
    [InlineData("V3 pin 9: joint open")]
    [InlineData("V2 not heated")]
    [InlineData("RFUSE1 open")]
    public void Diagnose_OneFault_NamesItFirst(string fault)
    {
        var result = BenchUnit.Of("marram-20", (fault, null)).Diagnose(2);
        Assert.Equal(Verdict.Fault, result.Verdict);
        Assert.Contains(fault, Words(result.Suspects[0]));
        AssertSumsToAtMostOne(result);
    }

    [Fact]
    public void Diagnose_WornTubeAndUnsolderedPin_NamesBoth()
    {
        var result = BenchUnit
            .Of("marram-20", ("V2 pin 1: joint open", null), ("V3 weak", 0.5))
            .Diagnose(3);
        // At DC a section without its plate joint is a dead section: one suspect, several names.
        var sets = result.Suspects[0].Equivalents.Add(result.Suspects[0].Faults);
        Assert.Contains(
            sets,
            set =>
                set.Length == 2
                && set.Any(f => f is { Part: "V2", Mode: FaultMode.OpenJoint, Pin: "1" })
                && set.Any(f => f is { Part: "V3", Mode: FaultMode.Weak, Value: > 0.4 and < 0.6 })
        );
    }

    [Fact]
    public void Diagnose_DriftedResistor_FindsItsValue()
    {
        var result = BenchUnit.Of("marram-20", ("R12 drifted", 180e3)).Diagnose(2);
        var fault = Assert.Single(result.Suspects[0].Faults);
        Assert.Equal("R12", fault.Part);
        Assert.InRange(fault.Value!.Value, 165e3, 195e3);
    }

    [Theory]
    [InlineData(10.0)]
    [InlineData(0.1)]
    [InlineData(-1.0)]
    public void Diagnose_OneSlipInAHealthyUnit_QuestionsTheReadingNotTheUnit(double factor)
    {
        var result = BenchUnit.Of("marram-20").Write("p3", v => v * factor).Diagnose(2);
        Assert.Equal(Verdict.WithinLimits, result.Verdict);
        Assert.Equal("p3", Assert.Single(result.Readings, r => r.Questionable).Reading.At);
    }

    [Fact]
    public void Diagnose_SlipBesideAFault_FindsBoth()
    {
        var result = BenchUnit
            .Of("marram-20", ("R3 open", null))
            .Write("b2", v => v / 10)
            .Diagnose(2);
        Assert.Contains("R3 open", Words(result.Suspects[0]));
        Assert.Equal("b2", Assert.Single(result.Readings, r => r.Questionable).Reading.At);
    }

    [Fact]
    public void Diagnose_ElectricallyEqualFaults_AreOneSuspect()
    {
        var result = BenchUnit.Of("marram-20", ("R3 open", null)).Diagnose(1);
        var all = result
            .Suspects[0]
            .Equivalents.SelectMany(e => e)
            .Concat(result.Suspects[0].Faults)
            .ToArray();
        Assert.Contains(all, f => f is { Part: "R3", Mode: FaultMode.Open });
        Assert.Contains(all, f => f is { Part: "R3", Mode: FaultMode.OpenJoint, Pin: "1" });
        Assert.Contains(all, f => f is { Part: "R3", Mode: FaultMode.OpenJoint, Pin: "2" });
    }

    [Fact]
    public void Diagnose_NoReadings_SaysNothingIsWrongYet()
    {
        var unit = BenchUnit.Of("marram-5");
        var result = unit.Diagnoser.Diagnose([]);
        Assert.Equal(Verdict.WithinLimits, result.Verdict);
        Assert.Empty(result.Readings);
    }

    [Fact]
    public void Diagnose_OneReading_KeepsManySuspects()
    {
        var result = BenchUnit.Of("marram-20", ("XV1A weak", 0.4)).Diagnose(2, "p1");
        Assert.Equal(Verdict.Fault, result.Verdict);
        Assert.True(result.Suspects.Length >= 3);
        Assert.True(result.Suspects[0].Probability < 0.9);
    }

    [Fact]
    public void Diagnose_Twice_GivesTheSameAnswer()
    {
        var unit = BenchUnit.Of("marram-5", ("R3 open", null));
        var first = unit.Diagnose(2);
        var second = unit.Diagnose(2);
        Assert.Equal(
            first.Suspects.Select(s => s.Probability),
            second.Suspects.Select(s => s.Probability)
        );
    }

    [Fact]
    public void Diagnose_Cancelled_Throws()
    {
        var unit = BenchUnit.Of("marram-5", ("R3 open", null));
        var cancelled = new CancellationToken(canceled: true);
        Assert.ThrowsAny<OperationCanceledException>(() => unit.Diagnose(1, cancelled));
    }

    private static IEnumerable<string> Words(Suspect suspect) =>
        suspect.Faults.Concat(suspect.Equivalents.SelectMany(e => e)).Select(f => f.Describe());

    private static void AssertSumsToAtMostOne(DiagnosisResult result) =>
        Assert.True(result.Healthy + result.Suspects.Sum(s => s.Probability) <= 1 + 1e-9);
}

internal static class ReadingStateExtensions
{
    public static double Measured(this ReadingState state) => state.Reading.Value;
}

using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>Units of sample-circuits that volts DC alone do not settle; what was wrong with each is in the README there.</summary>
public sealed class SampleUnitTests
{
    [Theory]
    [InlineData("marram-5-unit3", "C3 open")]
    [InlineData("marram-20-unit4", "C5 open", "C5 dried out")]
    [InlineData("marram-20-unit5", "C12 short")]
    [InlineData("marram-50-a-unit3", "RJ1 drifted", "RJ1: bad joint")]
    [InlineData("marram-50-b-unit3", "XV2A weak")]
    public void Diagnose_Unit_NamesItsFault(string unit, params string[] faults)
    {
        var result = Diagnose(unit, _ => true);

        Assert.Equal(Verdict.Fault, result.Verdict);
        var leading = result.Suspects[0];
        Assert.Contains(
            faults,
            fault => leading.Faults[0].Describe().StartsWith(fault, StringComparison.Ordinal)
        );
        Assert.Single(leading.Faults);
        Assert.True(leading.Probability > 0.7, $"{leading.Probability}");
        Assert.Empty(result.LeftOut);
    }

    [Theory]
    [InlineData("marram-5-unit3")]
    [InlineData("marram-20-unit4")]
    [InlineData("marram-50-a-unit3")]
    public void Diagnose_VoltsAlone_ShowNothing(string unit) =>
        Assert.Equal(
            Verdict.WithinLimits,
            Diagnose(unit, reading => reading.Kind == ReadingKind.Dc).Verdict
        );

    private static DiagnosisResult Diagnose(string unit, Func<Reading, bool> chosen)
    {
        var circuit = unit[..unit.LastIndexOf("-unit", StringComparison.Ordinal)];
        var amplifier = AmplifierReader
            .Read(Repository.File($"sample-circuits/{circuit}.cir"))
            .Amplifier!;
        var read = ReadingsFile.Read(
            Repository.File($"sample-circuits/readings/{unit}.csv"),
            amplifier
        );
        Assert.False(read.HasErrors);
        return Diagnoser
            .Prepare(amplifier, TestContext.Current.CancellationToken)
            .Diagnoser!.Diagnose(
                [.. read.Readings.Where(chosen)],
                cancellationToken: TestContext.Current.CancellationToken
            );
    }
}

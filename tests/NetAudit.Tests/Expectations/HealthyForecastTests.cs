using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using Xunit;

namespace NetAudit.Tests.Expectations;

/// <summary>One reading is foretold as the diagnosis judges it, whatever its kind and condition.</summary>
public sealed class HealthyForecastTests
{
    private static readonly Amplifier Amplifier = AmplifierReader
        .Read(Repository.File("sample-circuits/marram-20.cir"))
        .Amplifier!;

    private static readonly HealthyForecast Forecast = HealthyForecast.Prepare(Amplifier).Forecast!;

    [Theory]
    [InlineData("p1 182")]
    [InlineData("p1-k1 181")]
    [InlineData("p1 0.02 ac")]
    [InlineData("R12 2k14 ohms")]
    [InlineData("R12 OL ohms")]
    [InlineData("p1 190 @ mains=210")]
    [InlineData("p2 300 @ pull V1")]
    public void AnyReading_IsForetold_AsItIsJudged(string line)
    {
        var reading = Read(line);
        var cancellation = TestContext.Current.CancellationToken;
        var state = Diagnoser
            .Prepare(Amplifier, cancellation)
            .Diagnoser!.Diagnose([reading], new() { MaxFaults = 1 }, cancellation)
            .Readings.Single();

        lock (Forecast)
        {
            var expected = Forecast.Of(reading, cancellation)!;

            Same(state.Expected, expected.Mean);
            Same(state.Low, expected.Low);
            Same(state.High, expected.High);
            Same(state.Deviation, expected.Deviation(reading.Value));
            Assert.Equal(
                reading.Value >= state.Low && reading.Value <= state.High,
                expected.Holds(reading.Value)
            );
        }
    }

    [Theory]
    [InlineData("V3 look burnt")]
    [InlineData("out listen weak")]
    public void Observation_HasNoExpectedReading(string line)
    {
        lock (Forecast)
        {
            Assert.Null(Forecast.Of(Read(line), TestContext.Current.CancellationToken));
        }
    }

    private static Reading Read(string line) =>
        TypedReading.Read(line, Amplifier).Readings.Single();

    private static void Same(double first, double second) =>
        Assert.True(
            first == second || Math.Abs(first - second) < 1e-6 * Math.Abs(first),
            $"{first} is not {second}"
        );
}

using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

public sealed class ReadingEvidenceTests
{
    private readonly SmallBench _bench = new();

    [Theory]
    [InlineData(6, 3, 10)]
    // As far as the highest reading.
    [InlineData(6, -300, 300)]
    public void SlipSigma_OfVolts_IsAnythingThatStandsInTheCircuit(double a, double b, double sigma)
    {
        var evidence = _bench.Evidence(["a", "b"], [a, b]);

        Assert.Equal([sigma, sigma], evidence.SlipSigma);
        Assert.Equal([a, b], evidence.Measured);
        Assert.Equal([SmallBench.Own, SmallBench.Own], evidence.Own);
    }

    [Theory]
    // The decimal point and the sign, within a tenth.
    [InlineData(60, 6, true)]
    [InlineData(65, 6, true)]
    [InlineData(67, 6, false)]
    [InlineData(0.6, 6, true)]
    [InlineData(0.55, 6, true)]
    [InlineData(0.53, 6, false)]
    [InlineData(-6, 6, true)]
    [InlineData(-6.5, 6, true)]
    [InlineData(-5.3, 6, false)]
    [InlineData(3, 6, false)]
    [InlineData(6, 6, false)]
    public void LogSlipOdds_OfASlip_IsHigherForOneThatCanBeRecognised(
        double measured,
        double predicted,
        bool isRecognised
    )
    {
        var evidence = _bench.Evidence(["a", "b"], [1, measured]);

        var odds = evidence.LogSlipOdds([1], [1, predicted]);

        Assert.Equal(Math.Log(isRecognised ? 1e-3 : 1e-4), odds, 12);
    }

    [Fact]
    public void LogSlipOdds_OfSeveral_AddsThemUp()
    {
        var evidence = _bench.Evidence(["a", "b"], [60, 3]);

        Assert.Equal(0, evidence.LogSlipOdds([], [6, 6]));
        Assert.Equal(Math.Log(1e-3 * 1e-4), evidence.LogSlipOdds([0, 1], [6, 6]), 12);
    }
}

using NetAudit.Diagnosis.Ranking;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>What a reading is expected to tell, against cases that are plain and against summing up the integral.</summary>
public sealed class InformationGainTests
{
    [Fact]
    public void OfMeasurement_FarApart_IsTheEntropyOfTheHypotheses()
    {
        Assert.Equal(1, InformationGain.OfMeasurement([0.5, 0.5], [0, 100], [1, 2]), 9);
        var entropy = -(0.25 * Math.Log2(0.25) + 0.75 * Math.Log2(0.75));
        Assert.Equal(entropy, InformationGain.OfMeasurement([0.25, 0.75], [0, -50], [1, 1]), 9);
        Assert.Equal(
            2,
            InformationGain.OfMeasurement(
                [0.25, 0.25, 0.25, 0.25],
                [0, 50, 100, 150],
                [1, 1, 1, 1]
            ),
            9
        );
    }

    [Fact]
    public void OfMeasurement_AllPredictTheSame_IsNothing()
    {
        Assert.Equal(0, InformationGain.OfMeasurement([0.3, 0.7], [5, 5], [2, 2]), 12);
        Assert.Equal(0, InformationGain.OfMeasurement([1], [5], [2]), 12);
    }

    [Theory]
    [InlineData(0.5, 0, 1, 2, 1)]
    [InlineData(0.2, 0, 1, 1.5, 2)]
    [InlineData(0.7, -1, 0.5, 1, 1)]
    public void OfMeasurement_Overlapping_IsTheIntegral(
        double first,
        double mean1,
        double sigma1,
        double mean2,
        double sigma2
    )
    {
        var gain = InformationGain.OfMeasurement(
            [first, 1 - first],
            [mean1, mean2],
            [sigma1, sigma2]
        );

        var integral = 0.0;
        const double step = 1e-3;
        for (var y = -10.0; y < 10; y += step)
        {
            var one = first * Density(y, mean1, sigma1);
            var two = (1 - first) * Density(y, mean2, sigma2);
            integral +=
                step
                * (
                    one * Math.Log2(Density(y, mean1, sigma1) / (one + two))
                    + two * Math.Log2(Density(y, mean2, sigma2) / (one + two))
                );
        }
        // Seven points of a quadrature.
        Assert.Equal(integral, gain, 0.02);
        Assert.InRange(integral, 0.1, 1);
    }

    [Fact]
    public void OfMeasurement_HypothesisOfNoProbability_CountsForNothing() =>
        Assert.Equal(
            InformationGain.OfMeasurement([0.4, 0.6], [0, 3], [1, 1]),
            InformationGain.OfMeasurement([0.4, 0, 0.6], [0, 1, 3], [1, 1, 1]),
            12
        );

    [Fact]
    public void OfObservation_CertainUnderOneOnly_IsTheEntropy()
    {
        Assert.Equal(1, InformationGain.OfObservation([0.5, 0.5], [1, 0]), 12);
        Assert.Equal(0, InformationGain.OfObservation([0.5, 0.5], [0.3, 0.3]), 12);
    }

    [Fact]
    public void OfObservation_LikelierUnderOne_IsTheMutualInformation()
    {
        double Entropy(double p) => -p * Math.Log2(p) - (1 - p) * Math.Log2(1 - p);
        // Under 0.2 at 0.9 and under 0.8 at 0.25: 0.38 in all.
        var expected = Entropy(0.38) - 0.2 * Entropy(0.9) - 0.8 * Entropy(0.25);

        Assert.Equal(expected, InformationGain.OfObservation([0.2, 0.8], [0.9, 0.25]), 12);
    }

    private static double Density(double y, double mean, double sigma) =>
        Math.Exp(-0.5 * Math.Pow((y - mean) / sigma, 2)) / (sigma * Math.Sqrt(2 * Math.PI));
}

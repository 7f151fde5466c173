namespace NetAudit.Diagnosis.Ranking;

/// <summary>
/// What an observation is worth before it is made: the mutual information between the hypotheses and its outcome
/// (D. V. Lindley, Ann. Math. Stat. 27, 1956, p. 986). Knows nothing of circuits. Thread-safe.
/// </summary>
public static class InformationGain
{
    // Gauss-Hermite quadrature of seven points for the weight exp(-x^2 / 2), from the roots of the Hermite polynomial (M. Abramowitz,
    // I. A. Stegun, Handbook of Mathematical Functions, 1964, table 25.10; there for exp(-x^2)).
    private static readonly double[] Nodes =
    [
        -2.651961356835233 * Root2,
        -1.673551628767471 * Root2,
        -0.816287882858965 * Root2,
        0,
        0.816287882858965 * Root2,
        1.673551628767471 * Root2,
        2.651961356835233 * Root2,
    ];

    private static readonly double[] Weights =
    [
        9.717812450995192e-4 / RootPi,
        5.451558281912703e-2 / RootPi,
        4.256072526101278e-1 / RootPi,
        8.102646175568073e-1 / RootPi,
        4.256072526101278e-1 / RootPi,
        5.451558281912703e-2 / RootPi,
        9.717812450995192e-4 / RootPi,
    ];

    private const double Root2 = 1.4142135623730951;
    private const double RootPi = 1.7724538509055160;

    /// <summary>Gain in bits of a measurement that each hypothesis predicts as a normal distribution.</summary>
    /// <param name="probabilities">Probability of each hypothesis, summing to 1.</param>
    /// <param name="means">What each predicts.</param>
    /// <param name="sigmas">Standard deviation of each prediction, above 0.</param>
    /// <returns>Bits, from 0 to the entropy of the hypotheses.</returns>
    public static double OfMeasurement(
        ReadOnlySpan<double> probabilities,
        ReadOnlySpan<double> means,
        ReadOnlySpan<double> sigmas
    )
    {
        var gain = 0.0;
        for (var k = 0; k < probabilities.Length; k++)
        {
            for (var q = 0; q < Nodes.Length && probabilities[k] > 0; q++)
            {
                var y = means[k] + Nodes[q] * sigmas[k];
                var mixture = 0.0;
                for (var j = 0; j < probabilities.Length; j++)
                {
                    var deviation = (y - means[j]) / sigmas[j];
                    mixture +=
                        probabilities[j] / sigmas[j] * Math.Exp(-0.5 * deviation * deviation);
                }
                var own = Math.Exp(-0.5 * Nodes[q] * Nodes[q]) / sigmas[k];
                gain += probabilities[k] * Weights[q] * Math.Log(own / mixture);
            }
        }
        return Math.Max(0, gain) / Math.Log(2);
    }

    /// <summary>Gain in bits of an observation that is either made or not.</summary>
    /// <param name="probabilities">Probability of each hypothesis, summing to 1.</param>
    /// <param name="likelihoods">Probability of the observation under each.</param>
    public static double OfObservation(
        ReadOnlySpan<double> probabilities,
        ReadOnlySpan<double> likelihoods
    )
    {
        double total = 0,
            conditional = 0;
        for (var k = 0; k < probabilities.Length; k++)
        {
            total += probabilities[k] * likelihoods[k];
            conditional += probabilities[k] * BinaryEntropy(likelihoods[k]);
        }
        return Math.Max(0, BinaryEntropy(total) - conditional) / Math.Log(2);
    }

    private static double BinaryEntropy(double p) =>
        p is <= 0 or >= 1 ? 0 : -p * Math.Log(p) - (1 - p) * Math.Log(1 - p);
}

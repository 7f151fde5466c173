namespace NetAudit.Diagnosis.Ranking;

/// <summary>Probabilities over any set of hypotheses: the part of diagnosis that knows nothing of circuits.</summary>
public static class Posterior
{
    /// <summary>Turns log weights into probabilities that sum to 1.</summary>
    /// <param name="logWeights">Log prior plus log likelihood of each hypothesis, up to a common constant; -infinity rules one out.</param>
    /// <returns>Probabilities in the same order; all zero when every hypothesis is ruled out.</returns>
    public static double[] Normalise(ReadOnlySpan<double> logWeights)
    {
        var highest = double.NegativeInfinity;
        foreach (var weight in logWeights)
        {
            highest = Math.Max(highest, weight);
        }
        var probabilities = new double[logWeights.Length];
        if (double.IsNegativeInfinity(highest))
        {
            return probabilities;
        }
        var sum = 0.0;
        for (var i = 0; i < probabilities.Length; i++)
        {
            probabilities[i] = Math.Exp(logWeights[i] - highest);
            sum += probabilities[i];
        }
        for (var i = 0; i < probabilities.Length; i++)
        {
            probabilities[i] /= sum;
        }
        return probabilities;
    }

    /// <summary>Shannon entropy in nats.</summary>
    public static double Entropy(ReadOnlySpan<double> probabilities)
    {
        var entropy = 0.0;
        foreach (var p in probabilities)
        {
            entropy -= p > 0 ? p * Math.Log(p) : 0;
        }
        return entropy;
    }

    /// <summary>
    /// Expected entropy, in nats, of the hypotheses after an observation whose outcome each hypothesis predicts as a distribution.
    /// </summary>
    /// <param name="probabilities">Probability of each hypothesis now.</param>
    /// <param name="outcomes">For each hypothesis, the probability of each outcome; rows sum to 1. [hypotheses][outcomes].</param>
    public static double ExpectedEntropy(ReadOnlySpan<double> probabilities, double[][] outcomes)
    {
        var count = outcomes.Length == 0 ? 0 : outcomes[0].Length;
        var joint = new double[probabilities.Length];
        var expected = 0.0;
        for (var outcome = 0; outcome < count; outcome++)
        {
            var total = 0.0;
            for (var h = 0; h < joint.Length; h++)
            {
                joint[h] = probabilities[h] * outcomes[h][outcome];
                total += joint[h];
            }
            if (total <= 0)
            {
                continue;
            }
            for (var h = 0; h < joint.Length; h++)
            {
                joint[h] /= total;
            }
            expected += total * Entropy(joint);
        }
        return expected;
    }
}

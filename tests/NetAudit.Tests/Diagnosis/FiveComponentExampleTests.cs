using NetAudit.Diagnosis.Ranking;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>
/// The five-component arithmetic circuit of de Kleer and Williams, "Diagnosing multiple faults", Artificial Intelligence 32(1) 1987,
/// doi 10.1016/0004-3702(87)90063-4 (circuit and conclusions from memory; the numbers are an exact enumeration with independent priors
/// of 0.01 and a faulty component's output unconstrained). X = A C, Y = B D, Z = C E, F = X + Y, G = Y + Z with A=3 B=2 C=2 D=3 E=3;
/// observed F = 10, G = 12.
/// </summary>
public sealed class FiveComponentExampleTests
{
    private const double Prior = 0.01;
    private static readonly string[] Components = ["M1", "M2", "M3", "A1", "A2"];
    private static readonly Candidate[] Candidates =
    [
        .. Enumerable.Range(0, 32).Select(Candidate.Of),
    ];
    private static readonly double[] Probabilities = Posterior.Normalise([
        .. Candidates.Select(c => c.LogWeight),
    ]);

    [Fact]
    public void Normalise_AllCandidates_TwentySevenRemain() =>
        Assert.Equal(27, Probabilities.Count(p => p > 0));

    [Theory]
    [InlineData("A1", 0.478026)]
    [InlineData("M1", 0.478026)]
    [InlineData("M2+A2", 0.004829)]
    [InlineData("M2+M3", 0.004829)]
    public void Normalise_OneCandidate_HasTheEnumeratedProbability(
        string faulty,
        double expected
    ) =>
        Assert.Equal(
            expected,
            Probabilities[Array.FindIndex(Candidates, c => c.Name == faulty)],
            6
        );

    [Theory]
    [InlineData("M1", 0.49764)]
    [InlineData("A1", 0.49764)]
    [InlineData("M2", 0.01961)]
    [InlineData("M3", 0.01478)]
    [InlineData("A2", 0.01478)]
    public void Normalise_OneComponent_HasTheEnumeratedMarginal(string component, double expected)
    {
        var marginal = Candidates
            .Select((c, i) => c.IsFaulty(component) ? Probabilities[i] : 0)
            .Sum();
        Assert.Equal(expected, marginal, 5);
    }

    [Fact]
    public void Entropy_OfCandidates_IsTheEnumeratedValue() =>
        Assert.Equal(0.942296, Posterior.Entropy(Probabilities), 6);

    [Fact]
    public void ExpectedEntropy_OfProbes_PrefersX()
    {
        var remaining = new[] { "X", "Y", "Z" }
            .Select(probe =>
                (probe, entropy: Posterior.ExpectedEntropy(Probabilities, Outcomes(probe)))
            )
            .OrderBy(p => p.entropy)
            .Select(p => p.probe);
        Assert.Equal(["X", "Y", "Z"], remaining);
    }

    /// <summary>Each candidate predicts a value with certainty, or spreads evenly over the values that are possible at the probe.</summary>
    private static double[][] Outcomes(string probe)
    {
        var predictions = Candidates
            .Select((c, i) => Probabilities[i] > 0 ? c.Predict(probe) : null)
            .ToArray();
        var values = predictions.OfType<double>().Distinct().Order().ToArray();
        return
        [
            .. predictions.Select(p =>
                values
                    .Select(v => p is { } known ? (known == v ? 1.0 : 0.0) : 1.0 / values.Length)
                    .ToArray()
            ),
        ];
    }

    private sealed record Candidate(string[] Faulty)
    {
        public string Name => string.Join('+', Faulty);

        /// <summary>Log prior, or -infinity when the working components contradict the observations.</summary>
        public double LogWeight
        {
            get
            {
                var x = Works("M1") ? 6 : (double?)null;
                var y = Works("M2") ? 6 : (double?)null;
                var z = Works("M3") ? 6 : (double?)null;
                if (Works("A1"))
                {
                    // F = X + Y = 10: what is known of one fixes the other.
                    if (x is { } known)
                    {
                        if (y is { } other && known + other != 10)
                        {
                            return double.NegativeInfinity;
                        }
                        y = 10 - known;
                    }
                }
                if (Works("A2") && y is { } left && z is { } right && left + right != 12)
                {
                    return double.NegativeInfinity;
                }
                return Faulty.Length * Math.Log(Prior) + (5 - Faulty.Length) * Math.Log(1 - Prior);
            }
        }

        public static Candidate Of(int bits) =>
            new([.. Components.Where((_, i) => (bits >> i & 1) == 1)]);

        public bool IsFaulty(string component) => Faulty.Contains(component);

        /// <summary>The value at a probe that follows from the observations and the working components, or null.</summary>
        public double? Predict(string probe)
        {
            var x = Works("M1") ? 6 : (double?)null;
            var y = Works("M2") ? 6 : (double?)null;
            var z = Works("M3") ? 6 : (double?)null;
            for (var pass = 0; pass < 2; pass++)
            {
                x ??= Works("A1") && y is { } byY ? 10 - byY : null;
                y ??= Works("A1") && x is { } byX ? 10 - byX : null;
                y ??= Works("A2") && z is { } byZ ? 12 - byZ : null;
                z ??= Works("A2") && y is { } byY2 ? 12 - byY2 : null;
            }
            return probe switch
            {
                "X" => x,
                "Y" => y,
                _ => z,
            };
        }

        private bool Works(string component) => !IsFaulty(component);
    }
}

using NetAudit.Diagnosis.Evidence;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>Checks against the closed form of the bivariate normal density (for example NIST Handbook 6.5.4).</summary>
public sealed class GaussianEvidenceTests
{
    // J J' + D with sigma1^2 = 4 + 1, sigma2^2 = 9 + 0.25, covariance 6.
    private static readonly double[] Jacobian = [2, 0, 0, 0, 3, 0, 0, 0];
    private static readonly double[] Own = [1, 0.5];
    private static readonly double[] Residual = [1.5, -0.7];

    private const double Variance1 = 5;
    private const double Variance2 = 9.25;
    private const double Covariance = 6;
    private const double Determinant = Variance1 * Variance2 - Covariance * Covariance;

    private static GaussianEvidence Decomposed()
    {
        var evidence = new GaussianEvidence(2);
        evidence.Decompose(Jacobian, 4, Own);
        return evidence;
    }

    [Fact]
    public void LogDensity_TwoReadings_IsTheBivariateNormal()
    {
        var density = Decomposed().LogDensity(Residual, out var quadratic);
        var expected =
            (Variance2 * 1.5 * 1.5 - 2 * Covariance * 1.5 * -0.7 + Variance1 * 0.7 * 0.7)
            / Determinant;
        Assert.Equal(expected, quadratic, 12);
        Assert.Equal(
            -0.5 * (expected + Math.Log(Determinant)) - Math.Log(2 * Math.PI),
            density,
            12
        );
    }

    [Fact]
    public void GivenOthers_TwoReadings_IsTheConditionalDeviation()
    {
        var deviations = new double[2];
        Decomposed().GivenOthers(Residual, deviations);
        var conditionalMean = Covariance / Variance2 * Residual[1];
        var conditionalSigma = Math.Sqrt(Variance1 - Covariance * Covariance / Variance2);
        Assert.Equal((Residual[0] - conditionalMean) / conditionalSigma, deviations[0], 12);
    }

    [Fact]
    public void Inverse_TwoReadings_IsTheClosedForm()
    {
        var inverse = Decomposed().Inverse().ToArray();
        Assert.Equal(Variance2 / Determinant, inverse[0], 12);
        Assert.Equal(-Covariance / Determinant, inverse[1], 12);
        Assert.Equal(-Covariance / Determinant, inverse[2], 12);
        Assert.Equal(Variance1 / Determinant, inverse[3], 12);
    }

    [Fact]
    public void Sigma_EachReading_IsTheRootOfItsVariance()
    {
        var evidence = Decomposed();
        Assert.Equal(Math.Sqrt(Variance1), evidence.Sigma(0), 12);
        Assert.Equal(Math.Sqrt(Variance2), evidence.Sigma(1), 12);
    }

    [Fact]
    public void Lower_OddNumberOfRows_EqualsPlainLoops()
    {
        const int rows = 11;
        const int width = 8;
        var matrix = Enumerable.Range(0, rows * width).Select(i => Math.Sin(i * 1.7)).ToArray();
        var products = new double[rows * rows];
        RowProducts.Lower(matrix, rows, width, products);
        for (var i = 0; i < rows; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var expected = Enumerable
                    .Range(0, width)
                    .Sum(k => matrix[i * width + k] * matrix[j * width + k]);
                Assert.Equal(expected, products[i * rows + j], 12);
            }
        }
    }

    [Fact]
    public void Whiten_Block_EqualsColumnByColumn()
    {
        var evidence = Decomposed();
        double[] block = [1, 2, 3, 4, 5, 6];
        evidence.Whiten(block, 3);
        for (var column = 0; column < 3; column++)
        {
            double[] vector = [column + 1, column + 4];
            evidence.Whiten(vector);
            Assert.Equal(vector[0], block[column], 12);
            Assert.Equal(vector[1], block[3 + column], 12);
        }
    }
}

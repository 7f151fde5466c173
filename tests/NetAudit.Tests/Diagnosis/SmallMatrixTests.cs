using NetAudit.Diagnosis.Evidence;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>A system whose solution is plain to see: the factor of the matrix is {2}, {1, 3}, {-1, 2, 1}.</summary>
public class SmallMatrixTests
{
    private static double[] Matrix => [4, 2, -2, 2, 10, 5, -2, 5, 6];

    [Fact]
    public void Cholesky_OfThreeByThree_IsTheFactor()
    {
        var matrix = Matrix;

        SmallMatrix.Cholesky(matrix, 3);

        Assert.Equal(
            [2, 1, 3, -1, 2, 1],
            [matrix[0], matrix[3], matrix[4], matrix[6], matrix[7], matrix[8]]
        );
    }

    [Fact]
    public void SolveFactored_OfThreeByThree_SolvesTheSystem()
    {
        var matrix = Matrix;
        // The matrix times (1, 2, 3).
        double[] vector = [2, 37, 26];

        SmallMatrix.Cholesky(matrix, 3);
        SmallMatrix.SolveFactored(matrix, vector);

        Assert.Equal([1, 2, 3], vector.Select(value => Math.Round(value, 12)));
    }
}

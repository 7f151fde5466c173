using NetAudit.Audits.Variants.Matching;
using Xunit;

namespace NetAudit.Tests.Audits.Variants;

public sealed class AssignmentTests
{
    [Fact]
    public void Solve_GreedyIsNotBest_FindsTheBest()
    {
        // Greedily 9 + 1; together 8 + 7 is more.
        var assigned = Assignment.Solve(
            new double[,]
            {
                { 9, 8 },
                { 7, 1 },
            }
        );

        Assert.Equal([1, 0], assigned);
    }

    [Fact]
    public void Solve_NothingSpeaksForARow_LeavesItAlone()
    {
        var assigned = Assignment.Solve(
            new double[,]
            {
                { 2, -1 },
                { 3, 0 },
                { -5, -2 },
            }
        );

        Assert.Equal([-1, 0, -1], assigned);
    }

    [Fact]
    public void Solve_RandomScores_IsAsGoodAsEveryPermutation()
    {
        var random = new Random(7);
        for (var run = 0; run < 200; run++)
        {
            var scores = new double[4, 4];
            for (var i = 0; i < 16; i++)
            {
                scores[i / 4, i % 4] = random.NextDouble() * 10;
            }
            var found = Assignment.Solve(scores).Select((column, row) => scores[row, column]).Sum();

            Assert.Equal(Best(scores, 0, 0), found, 1e-9);
        }
    }

    private static double Best(double[,] scores, int row, int taken)
    {
        if (row == 4)
        {
            return 0;
        }
        return Enumerable
            .Range(0, 4)
            .Where(column => (taken & (1 << column)) == 0)
            .Max(column => scores[row, column] + Best(scores, row + 1, taken | (1 << column)));
    }
}

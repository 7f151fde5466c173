using NetAudit.Diagnosis.Evidence;
using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>The signs of levels that no meter shows, against trying all of them.</summary>
public sealed class HiddenSignsTests
{
    private const int Readings = 5;

    public static TheoryData<int> Seeds => [.. Enumerable.Range(1, 12)];

    [Theory]
    [MemberData(nameof(Seeds))]
    public void Choose_OfAllCombinations_IsTheMostProbable(int seed)
    {
        var random = new Random(seed);
        double[] Draw(int count) =>
            [.. Enumerable.Range(0, count).Select(_ => 2 * random.NextDouble() - 1)];
        var gaussian = new GaussianEvidence(Readings);
        gaussian.Decompose(Draw(Readings * 8), 8, [0.1, 0.2, 0.1, 0.3, 0.2]);
        var measured = Draw(Readings);
        var predicted = Draw(Readings);
        int[] hidden = [0, 2, 3];
        var signs = new HiddenSigns(Readings);
        foreach (var reading in hidden)
        {
            signs.Add(reading);
        }

        var whitened = Residual(0);
        gaussian.Whiten(whitened);
        signs.Choose(gaussian, whitened, measured);

        var lengths = Enumerable
            .Range(0, 1 << hidden.Length)
            .Select(turned => Length(Residual(turned)))
            .ToArray();
        Assert.Equal(lengths.Min(), DenseRows.Dot(whitened, whitened), 9);
        var chosen = signs.Flipped.Sum(reading => 1 << Array.IndexOf(hidden, reading));
        Assert.Equal(lengths.Min(), lengths[chosen], 9);
        // The residual came along with its signs.
        var turnedResidual = Residual(chosen);
        gaussian.Whiten(turnedResidual);
        Assert.Equal(turnedResidual, whitened, (x, y) => Math.Abs(x - y) < 1e-9);

        double[] Residual(int turned) =>
            [
                .. measured.Select(
                    (y, i) =>
                    {
                        var bit = Array.IndexOf(hidden, i);
                        return (bit >= 0 && (turned >> bit & 1) == 1 ? -y : y) - predicted[i];
                    }
                ),
            ];

        double Length(double[] residual)
        {
            gaussian.LogDensity(residual, out var quadratic);
            return quadratic;
        }
    }

    [Fact]
    public void Choose_TheSignsAreRight_TurnsNone()
    {
        var gaussian = new GaussianEvidence(2);
        gaussian.Decompose(new double[8], 4, [1, 1]);
        var signs = new HiddenSigns(2);
        signs.Add(0);
        signs.Add(1);
        Assert.Equal(2, signs.Count);
        double[] whitened = [0.1, -0.1];

        signs.Choose(gaussian, whitened, [3, -2]);

        Assert.Empty(signs.Flipped);
        Assert.Equal([0.1, -0.1], whitened);
    }

    [Fact]
    public void Add_MoreThanTen_LeavesTheRestAsTheyAre()
    {
        const int many = 12;
        var gaussian = new GaussianEvidence(many);
        gaussian.Decompose(new double[many * 4], 4, [.. Enumerable.Repeat(1.0, many)]);
        var signs = new HiddenSigns(many);
        for (var i = 0; i < many; i++)
        {
            signs.Add(i);
        }
        // Every reading is 1 where -1 is predicted.
        double[] whitened = [.. Enumerable.Repeat(2.0, many)];

        signs.Choose(gaussian, whitened, [.. Enumerable.Repeat(1.0, many)]);

        Assert.Equal(10, signs.Count);
        Assert.Equal(Enumerable.Range(0, 10), signs.Flipped);
        Assert.Equal([.. Enumerable.Repeat(0.0, 10), 2, 2], whitened);
        signs.Clear();
        signs.Choose(gaussian, whitened, []);
        Assert.Empty(signs.Flipped);
    }
}

using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

/// <summary>
/// Free values of a set, on columns that are orthogonal so that each value has its own step: with a curvature of c and a range of W = 3 nats,
/// g / (c + 1/9).
/// </summary>
public sealed class FreeValuesTests
{
    private const double Pull = 1 / 9.0;

    // Curvatures 4 and 9; a third member without a free value stands between them.
    private static readonly double[] Columns = [2, 0, 0, 3, 0, 0];

    private static FreeValues OfTwo()
    {
        var values = new FreeValues(3);
        values.Begin(FaultSet.Of(Faults.Free(1)).With(Faults.Fixed(2))!.With(Faults.Free(3))!);
        Columns.CopyTo(values.Columns);
        return values;
    }

    [Fact]
    public void Begin_SetWithAFixedMember_CountsTheFreeOnes()
    {
        var values = OfTwo();

        Assert.Equal(2, values.Count);
        Assert.Equal([0, 2], [values.MemberOf(0), values.MemberOf(1)]);
        Assert.Equal([0, -1, 1], [values.Of(0), values.Of(1), values.Of(2)]);
        values.Begin(FaultSet.Of(Faults.Fixed(2)));
        Assert.Equal(0, values.Count);
        Assert.Equal(-1, values.Of(0));
    }

    [Fact]
    public void FindStep_WithinRangeAndLength_IsTheMaximumOfTheQuadratic()
    {
        var values = OfTwo();

        values.FindStep([0.5, -0.9, 7], [1.5, 0, 1.5], 10);

        Assert.Equal(2 * 0.5 / (4 + Pull), values.Step[0], 12);
        Assert.Equal(3 * -0.9 / (9 + Pull), values.Step[1], 12);
    }

    [Fact]
    public void FindStep_ColumnsThatOverlap_SolvesBothTogether()
    {
        var values = OfTwo();
        double[] columns = [1, 1, 0, 2, 0, 0];
        columns.CopyTo(values.Columns);

        values.FindStep([0.3, 0.8, 0], [1.5, 0, 1.5], 10);

        // [1 + p, 1; 1, 5 + p] x = [0.3, 0.3 + 1.6].
        var determinant = (1 + Pull) * (5 + Pull) - 1;
        Assert.Equal((0.3 * (5 + Pull) - 1.9) / determinant, values.Step[0], 12);
        Assert.Equal(((1 + Pull) * 1.9 - 0.3) / determinant, values.Step[1], 12);
    }

    [Theory]
    // 1.5 of 3 nats: room for 1.5 either way, and a step of at most 1.
    [InlineData(1.5, 100, 1)]
    [InlineData(1.5, -100, -1)]
    // Near an end.
    [InlineData(2.8, 100, 0.2)]
    [InlineData(0.3, -100, -0.3)]
    public void FindStep_FarAway_EndsAtTheLongestStepOrTheRange(
        double from,
        double residual,
        double step
    )
    {
        var values = OfTwo();

        values.FindStep([residual, 0, 0], [from, 0, 1.5], 1);

        Assert.Equal(step, values.Step[0], 12);
        Assert.Equal(0, values.Step[1], 12);
    }

    [Theory]
    [InlineData(10, 0.4, 0.3)]
    // Each part of the step no longer than that.
    [InlineData(0.1, 0.1, 0.1)]
    public void Reduction_OfAStep_IsWhatItTakesOffTheSquares(
        double longest,
        double first,
        double second
    )
    {
        var values = OfTwo();
        (values.Step[0], values.Step[1]) = (0.4, 0.3);
        double[] residual = [1, 2, 5];

        var reduction = values.Reduction(residual, longest);

        var rest = Math.Pow(1 - 2 * first, 2) + Math.Pow(2 - 3 * second, 2);
        Assert.Equal(1 + 4 - rest, reduction, 12);
        Assert.Equal([first, second], values.Step[..2]);
    }

    [Fact]
    public void Reduction_OfAStepThatLeadsAway_IsNothing()
    {
        var values = OfTwo();
        values.Step[0] = -0.4;
        values.Step[1] = 0;

        Assert.Equal(0, values.Reduction([1, 2, 5], 10));
    }

    [Fact]
    public void Occam_OfIndependentValues_IsTheShareOfEachRangeThatIsLeft()
    {
        var values = OfTwo();

        double Share(double curvature) => Math.Sqrt(2 * Math.PI / (curvature + Pull)) / 3;
        Assert.InRange(Share(4), 0, 1);
        Assert.Equal(Math.Log(Share(4)) + Math.Log(Share(9)), values.Occam(), 12);
    }

    [Fact]
    public void Occam_OfAValueThatNoReadingSees_IsNoMoreThanItsRange()
    {
        var values = OfTwo();
        values.Columns.Clear();

        Assert.Equal(0, values.Occam());
    }
}

using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

public sealed class ForetoldTests
{
    private static readonly FaultSet Base = FaultSet.Of(Faults.Free(0));

    [Fact]
    public void Offer_MoreThanItHolds_KeepsTheBest()
    {
        var foretold = new Foretold(3);
        double[] scores = [5, 1, 4, 2, 6, 3];
        foreach (var score in scores)
        {
            foretold.Offer(Base, [1], Faults.Free((int)score), score);
        }

        Assert.Equal([6, 5, 4], foretold.Best(10).Select(b => b.Origin.Score));
        Assert.Equal([6, 5], foretold.Best(2).Select(b => b.Origin.Score));
        Assert.Equal("0+6", foretold.Best(1)[0].Set.Key);
    }

    [Fact]
    public void Offer_AsGoodAsTheLeastThatIsKept_ChangesNothing()
    {
        var foretold = new Foretold(1);
        foretold.Offer(Base, [1], Faults.Free(1), 2);
        foretold.Offer(Base, [1], Faults.Free(2), 2);

        Assert.Equal("0+1", Assert.Single(foretold.Best(10)).Set.Key);
    }

    [Theory]
    [InlineData(3, 7)]
    [InlineData(7, 3)]
    public void Best_OneSetForetoldTwice_StandsOnceAtItsBest(double fromFirst, double fromSecond)
    {
        var (a, b) = (Faults.Free(1), Faults.Free(2));
        var foretold = new Foretold(10);
        foretold.Offer(FaultSet.Of(a), [1], b, fromFirst);
        foretold.Offer(FaultSet.Of(b), [1], a, fromSecond);

        var (set, origin) = Assert.Single(foretold.Best(10));

        Assert.Equal("1+2", set.Key);
        Assert.Equal(7, origin.Score);
        Assert.Equal(fromFirst > fromSecond ? b : a, origin.Extra);
    }

    [Fact]
    public void Best_WhatCannotExist_IsLeftOut()
    {
        var foretold = new Foretold(10);
        foretold.Offer(Base, [1], Faults.Free(0), 9);
        foretold.Offer(Base, [1], Faults.Free(1), 1);

        Assert.Equal("0+1", Assert.Single(foretold.Best(10)).Set.Key);
    }

    [Fact]
    public void Best_OfEqualScores_IsInOrderOfTheKey()
    {
        var foretold = new Foretold(10);
        foreach (var index in (int[])[3, 1, 2])
        {
            foretold.Offer(Base, [1], Faults.Free(index), 1);
        }

        Assert.Equal(["0+1", "0+2", "0+3"], foretold.Best(10).Select(b => b.Set.Key));
    }
}

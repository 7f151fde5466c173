using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Search;

public sealed class FaultSetTests
{
    [Fact]
    public void LogPrior_ByNumberOfFaults_IsTheOddsAndTheShares()
    {
        var one = FaultSet.Of(Faults.Free(1, 0.2));
        var three = one.With(Faults.Free(2, 0.1))!.With(Faults.Free(3, 0.05))!;

        Assert.Equal(0, FaultSet.Healthy.LogPrior);
        Assert.Equal(Math.Log(0.08 * 0.2), one.LogPrior, 12);
        // A further fault has odds of 0.4 each.
        Assert.Equal(Math.Log(0.08 * 0.2 * 0.4 * 0.1 * 0.4 * 0.05), three.LogPrior, 12);
    }

    [Theory]
    [InlineData(0, 0, 0)]
    // One member that explains it is enough.
    [InlineData(2, 0, 2)]
    [InlineData(2, 3, 3)]
    // Each that speaks against it counts.
    [InlineData(-1, -2, -3)]
    [InlineData(-1, 2, 1)]
    public void LogPrior_OfWhatWasSeen_TakesTheBestThatSpeaksForAndAllAgainst(
        double first,
        double second,
        double together
    )
    {
        var set = FaultSet
            .Of(Faults.Free(1) with { Testimony = [first, 0.5] })
            .With(Faults.Free(2) with { Testimony = [second, 0] })!;

        Assert.Equal(Math.Log(0.08 * 0.1 * 0.4 * 0.1) + together + 0.5, set.LogPrior, 12);
    }

    [Fact]
    public void With_AnyOrder_IsTheSameSet()
    {
        var (a, b) = (Faults.Free(3), Faults.Free(11));

        var set = FaultSet.Of(b).With(a)!;

        Assert.Equal([a, b], set.Members);
        Assert.Equal(FaultSet.Of(a).With(b)!.Key, set.Key);
        Assert.NotEqual(FaultSet.Of(a).With(Faults.Free(1))!.Key, set.Key);
        // Not to be taken for one another: 1 and 13, 11 and 3.
        Assert.NotEqual(FaultSet.Of(Faults.Free(1)).With(Faults.Free(13))!.Key, set.Key);
    }

    [Fact]
    public void With_WhatAMemberTouchesAlready_IsNoSet()
    {
        var set = FaultSet.Of(Faults.Fixed(1, 0.1, Faults.Bridge(2, 3)));

        Assert.Null(set.With(Faults.Fixed(2, 0.1, Faults.Bridge(2, 3))));
        Assert.Null(set.With(Faults.Fixed(2, 0.1, Faults.Parameter(9), Faults.Bridge(2, 3))));
        Assert.NotNull(set.With(Faults.Fixed(2, 0.1, Faults.Bridge(2, 4))));
        Assert.NotNull(set.With(Faults.Fixed(2, 0.1, Faults.Bridge(1, 3))));
        Assert.NotNull(
            set.With(Faults.Fixed(2, 0.1, new Alteration(AlterationKind.Inject, 2, 3, 1)))
        );
    }

    [Fact]
    public void With_MoreEditsThanAWorkspaceHolds_IsNoSet()
    {
        FaultClass Bridges(int index, int count) =>
            Faults.Fixed(
                index,
                0.1,
                [.. Enumerable.Range(0, count).Select(i => Faults.Bridge(100 * index, i))]
            );
        var set = FaultSet.Of(Bridges(1, 3));

        Assert.NotNull(set.With(Bridges(2, 2)));
        Assert.Null(set.With(Bridges(2, 3)));
        // A parameter is no edit.
        Assert.NotNull(set.With(Bridges(2, 2))!.With(Faults.Free(3)));
    }

    [Fact]
    public void Without_AMember_IsTheRest()
    {
        var (a, b) = (Faults.Free(1), Faults.Free(2));
        var both = FaultSet.Of(a).With(b)!;

        Assert.Equal(FaultSet.Of(b).Key, both.Without(a).Key);
        Assert.Equal(FaultSet.Of(b).LogPrior, both.Without(a).LogPrior, 12);
        Assert.Empty(both.Without(a).Without(b).Members);
    }

    [Fact]
    public void Contains_IsEveryMember()
    {
        var (a, b) = (Faults.Free(1), Faults.Free(2));
        var both = FaultSet.Of(a).With(b)!;

        Assert.True(both.Contains(FaultSet.Of(a)));
        Assert.True(both.Contains(both));
        Assert.True(both.Contains(FaultSet.Healthy));
        Assert.False(FaultSet.Of(a).Contains(both));
        Assert.False(both.Contains(FaultSet.Of(a).With(Faults.Free(3))!));
    }

    [Fact]
    public void Middle_OfEachMember_IsTheMiddleOfItsGrid()
    {
        var set = FaultSet.Of(Faults.Free(1)).With(Faults.Fixed(2))!;

        // Cells of 1 nat from 0 to 3: their middles are 0.5, 1.5 and 2.5.
        Assert.Equal([Math.Exp(1.5), 1], set.Middle, (x, y) => Math.Abs(x - y) < 1e-12);
    }
}

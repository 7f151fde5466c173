using NetAudit.Diagnosis.Observations;
using Xunit;

namespace NetAudit.Tests.Diagnosis.Observations;

public sealed class HeardLevelsTests
{
    [Theory]
    [InlineData("none", 0, 1.2)]
    [InlineData("weak", 20, 0.8)]
    [InlineData("normal", 100, 0.5)]
    public void Of_AWord_IsALevelOnTheScaleOfTheHealthyOne(
        string word,
        double timesInaudible,
        double sigma
    )
    {
        var (floor, place, own) = HeardLevels.Of(word, 3)!.Value;

        // 40 dB below 3 V nothing is heard; weak is a fifth.
        Assert.Equal(0.03, floor, 12);
        Assert.Equal(Math.Asinh(timesInaudible), place, 12);
        Assert.Equal(sigma, own);
    }

    [Fact]
    public void Of_AWordForTheCharacter_IsNoLevel() => Assert.Null(HeardLevels.Of("hums", 3));

    [Theory]
    [InlineData(3, "normal")]
    [InlineData(1.5, "normal")]
    [InlineData(0.6, "weak")]
    [InlineData(0.2, "weak")]
    [InlineData(0.01, "none")]
    [InlineData(0, "none")]
    public void WordOf_ALevel_IsTheNearestWord(double volts, string word) =>
        Assert.Equal(word, HeardLevels.WordOf(volts, 0.03));
}

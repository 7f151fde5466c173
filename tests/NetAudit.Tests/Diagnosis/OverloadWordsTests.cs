using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public sealed class OverloadWordsTests
{
    [Fact]
    public void Sentences_NothingOverloaded_AreNone() =>
        Assert.Empty(OverloadWords.Sentences(Of(0, 1)));

    [Fact]
    public void Sentences_OnePart_SayHowMuchOfItsLimit() =>
        Assert.Equal(
            ["Also look at P0 (power at 150 % of its limit): this fault has overloaded it."],
            OverloadWords.Sentences(Of(1, 1))
        );

    [Fact]
    public void Sentences_ManyParts_NameFourAndCountTheRest()
    {
        var four = Assert.Single(OverloadWords.Sentences(Of(4, 2)));
        var six = Assert.Single(OverloadWords.Sentences(Of(6, 2)));

        Assert.Contains("P3 (power at 150 % of its limit)", four, StringComparison.Ordinal);
        Assert.DoesNotContain("more", four, StringComparison.Ordinal);
        Assert.EndsWith(": these faults have overloaded them.", four, StringComparison.Ordinal);
        Assert.Contains("2 more", six, StringComparison.Ordinal);
        Assert.DoesNotContain("P4", six, StringComparison.Ordinal);
    }

    private static Suspect Of(int overloaded, int faults) =>
        new(1, "", [.. Enumerable.Repeat(new Fault("R1", FaultMode.Open), faults)], [], 1, [], [])
        {
            Overloaded =
            [
                .. Enumerable
                    .Range(0, overloaded)
                    .Select(i => new OverloadedPart($"P{i}", "power", "W", 1.5, 1)),
            ],
        };
}

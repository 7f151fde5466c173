using System.Collections.Immutable;
using NetAudit.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>What cannot be told from a suspect, in words.</summary>
public sealed class EquivalentWordsTests
{
    [Fact]
    public void Sentences_NothingLikeIt_AreNone() => Assert.Empty(Sentences([Open("R1")]));

    [Fact]
    public void Sentences_OfOneFault_NameSixAndCountTheRest()
    {
        ImmutableArray<Fault>[] six = [.. Enumerable.Range(2, 6).Select(i => Set(Open($"R{i}")))];

        Assert.Equal(
            [
                "No reading of these kinds tells it from: R2 open; R3 open; R4 open; R5 open; R6 open; R7 open.",
            ],
            Sentences([Open("R1")], six)
        );
        Assert.EndsWith(
            "R7 open; and 2 more.",
            Assert.Single(Sentences([Open("R1")], [.. six, Set(Open("R8")), Set(Open("R9"))])),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Sentences_SetsThatDifferInOneFault_AreSaidFaultByFault() =>
        Assert.Equal(
            [
                "No reading of these kinds tells \"R1 open\" from: R3 open; R4 open.",
                "No reading of these kinds tells \"R2 open\" from: R5 open.",
            ],
            Sentences(
                [Open("R1"), Open("R2")],
                Set(Open("R3"), Open("R2")),
                Set(Open("R1"), Open("R5")),
                Set(Open("R4"), Open("R2")),
                // A combination, which the reader can make.
                Set(Open("R4"), Open("R5"))
            )
        );

    [Fact]
    public void Sentences_SetsThatDifferThroughout_AreSaidWhole() =>
        Assert.Equal(
            [
                "No reading of these kinds tells \"R1 open\" from: R3 open.",
                "No reading of these kinds tells the set from: R4 open, together with R5 open; R6 open; R3 open, together with R6 open.",
            ],
            Sentences(
                [Open("R1"), Open("R2")],
                Set(Open("R3"), Open("R2")),
                Set(Open("R4"), Open("R5")),
                Set(Open("R6")),
                Set(Open("R3"), Open("R6"))
            )
        );

    [Fact]
    public void Sentences_TheSameFaultAtAnotherValue_IsNotAnotherFault() =>
        Assert.Equal(
            ["No reading of these kinds tells \"R2 open\" from: R3 open."],
            Sentences(
                [Drifted("R1", 12e3), Open("R2")],
                Set(Drifted("R1", 12.2e3), Open("R3")),
                Set(Drifted("R1", 11.9e3), Open("R3")),
                Set(Drifted("R1", 12.1e3), Open("R2"))
            )
        );

    private static IEnumerable<string> Sentences(
        ImmutableArray<Fault> faults,
        params ImmutableArray<Fault>[] equivalents
    ) => EquivalentWords.Sentences(new(1, "", faults, [.. equivalents], 1, [], []));

    private static ImmutableArray<Fault> Set(params ImmutableArray<Fault> faults) => faults;

    private static Fault Open(string part) => new(part, FaultMode.Open);

    private static Fault Drifted(string part, double ohms) =>
        new(part, FaultMode.Drifted, Value: ohms, Unit: "Ω");
}

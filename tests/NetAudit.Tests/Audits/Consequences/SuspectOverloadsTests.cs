using NetAudit.Audits.Consequences;
using NetAudit.Diagnosis;
using NetAudit.Tests.Diagnosis;
using Xunit;

namespace NetAudit.Tests.Audits.Consequences;

/// <summary>What suspects have overloaded.</summary>
public sealed class SuspectOverloadsTests
{
    [Fact]
    public void WithOverloads_LeakyCouplingCapacitor_SendsToTheOutputTube()
    {
        var unit = BenchUnit.Of("marram-5", ("C3 leaky", 560e3));
        var answer = unit.Diagnose(1);

        var suspect = Answer(unit, answer).Suspects[0];

        var tube = suspect.Overloaded.First(part => part.Part == "V2");
        Assert.True(tube.Ratio > 1);
        // The part at fault is named already.
        Assert.DoesNotContain(suspect.Overloaded, part => part.Part == "C3");
        Assert.Equal(
            suspect.Overloaded.Length,
            suspect.Overloaded.DistinctBy(part => part.Part).Count()
        );
        var sentence = Assert.Single(OverloadWords.Sentences(suspect));
        Assert.StartsWith("Also look at V2 (", sentence, StringComparison.Ordinal);
        Assert.EndsWith("this fault has overloaded them.", sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void WithOverloads_FuseThatOpensFirst_LeavesNothingToLookAt()
    {
        // The reservoir's short takes the fuse; nothing behind it has had time to suffer.
        var unit = BenchUnit.Of("marram-50-a", ("C19 short", null));
        var answer = unit.Diagnose(1);

        var suspect = Answer(unit, answer).Suspects[0];

        Assert.Equal("C19", suspect.Faults[0].Part);
        Assert.Empty(suspect.Overloaded);
        Assert.Empty(OverloadWords.Sentences(suspect));
    }

    [Fact]
    public void WithOverloads_HealthyUnit_IsTheAnswerItself()
    {
        var unit = BenchUnit.Of("marram-5");
        var answer = unit.Diagnose(1);

        Assert.Same(answer, Answer(unit, answer));
    }

    private static DiagnosisResult Answer(BenchUnit unit, DiagnosisResult answer) =>
        answer.WithOverloads(unit.Diagnoser, TestContext.Current.CancellationToken);
}

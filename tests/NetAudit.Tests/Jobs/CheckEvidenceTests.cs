using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>Answers to the first checks count where they say something, and warn where they do not.</summary>
public class CheckEvidenceTests
{
    private static readonly Amplifier Marram = AmplifierReader
        .Read(Repository.File("sample-circuits/marram-20.cir"))
        .Amplifier!;

    [Fact]
    public void Selector_SetToAnotherVoltage_AccusesTheSupplies()
    {
        var answer = new CheckAnswer("selector", "set to another voltage", "", default);

        Reading[] seen = [.. CheckEvidence.Of(answer, Marram)];

        Assert.NotEmpty(seen);
        Assert.All(seen, reading => Assert.Equal("misset", reading.Word));
        Assert.True(SupplyShare(seen) > 5 * SupplyShare([]));
    }

    [Theory]
    [InlineData("selector", "as the wall")]
    [InlineData("selector", "none fitted")]
    [InlineData("mains-lead", "sound")]
    public void SoundAnswer_NeitherAccusesNorWarns(string key, string answer)
    {
        var check = FirstChecks.Of(Marram).Single(c => c.Key == key);

        Assert.Empty(CheckEvidence.Of(new CheckAnswer(key, answer, "", default), Marram));
        Assert.Null(FirstChecks.Warning(check, answer));
    }

    [Fact]
    public void OpenEarth_OnlyWarns()
    {
        var check = FirstChecks.Of(Marram).Single(c => c.Key == "mains-lead");

        Assert.Empty(
            CheckEvidence.Of(new CheckAnswer("mains-lead", "earth open", "", default), Marram)
        );
        Assert.NotNull(FirstChecks.Warning(check, "earth open"));
    }

    // Probability of faults of the supply itself when the owner says that the unit is weak.
    private static double SupplyShare(Reading[] seen)
    {
        var result = Diagnoser
            .Prepare(Marram, TestContext.Current.CancellationToken)
            .Diagnoser!.Diagnose(
                seen,
                new DiagnosisOptions { Complaint = "weak" },
                TestContext.Current.CancellationToken
            );
        return result
            .Suspects.Where(s =>
                s.Faults.All(f => Marram.FindPart(f.Part)?.Class == PartClass.Supply)
            )
            .Sum(s => s.Probability);
    }
}

using NetAudit.Circuits;
using NetAudit.Reference.Hypotheses;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>A hypothesis that finds no operating point tends to be the true one: none may be left unknown.</summary>
public class ConvergenceTests
{
    private const int Pairs = 1000;

    [Theory]
    [MemberData(nameof(SampleCircuitTests.Samples), MemberType = typeof(SampleCircuitTests))]
    public void OperatingPoint_OfEveryHypothesis_IsFound(string sample)
    {
        var sweep = new HypothesisSweep(
            AmplifierReader.Read(Path.Combine(RepositoryFiles.Samples, sample)).Amplifier!
        );
        Assert.Empty(sweep.Singles());
        Assert.Empty(sweep.Pairs(Pairs, seed: 1));
    }

    /// <summary>Volts, levels, ripple and resistances, in every condition, with the supply given by its parts.</summary>
    [Fact]
    public void Readings_OfEveryHypothesisInEveryCondition_AreFound()
    {
        var amplifier = AmplifierReader
            .Read(
                Path.Combine(RepositoryFiles.Samples, "marram-5.cir"),
                Path.Combine(RepositoryFiles.Samples, "marram-5-supply.sheet.toml")
            )
            .Amplifier!;
        var conditions = SweptConditions.Of(amplifier);
        Assert.True(conditions.Length > 8);
        Assert.All(
            conditions,
            condition => Assert.Empty(new HypothesisSweep(amplifier, condition).Singles())
        );
    }
}

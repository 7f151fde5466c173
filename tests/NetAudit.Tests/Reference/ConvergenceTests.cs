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
}

using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Diagnosis.Search;
using NetAudit.Simulation;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

/// <summary>What can be wrong with a part is all in the catalogue.</summary>
public class FaultCatalogueTests
{
    private static readonly Fault[] Faults = Of(
        "V1 c 0 12\nR1 c b 100k\nR2 c d 1k\nQ1 d b e QN\nR3 e 0 100\n.model QN NPN(BF=100)"
    );

    [Theory]
    [InlineData("c")]
    [InlineData("b")]
    [InlineData("e")]
    public void Of_ATransistor_EveryPinCanBeOpenAndHaveABadJoint(string pin)
    {
        var modes = Faults
            .Where(fault => fault.Part == "Q1" && fault.Pin == pin)
            .Select(fault => fault.Mode)
            .ToArray();

        Assert.Contains(FaultMode.Open, modes);
        Assert.Contains(FaultMode.OpenJoint, modes);
        Assert.Contains(FaultMode.ResistiveJoint, modes);
    }

    /// <summary>A transistor short throughout takes two edits of the five that a set may make: the search must stop, not the solver.</summary>
    [Fact]
    public void Set_OfManyTransistorsShortThroughout_EndsWhereTheSolverHoldsNoMore()
    {
        var cards = string.Concat(
            Enumerable
                .Range(1, 5)
                .Select(i =>
                    $"Q{i} c{i} b{i} e{i} N\nR{i} c{i} b 1k\nRB{i} b{i} b 1k\nRE{i} e{i} 0 1k\n"
                )
        );
        var amplifier = Amplifiers.Of($"V1 b 0 10\n{cards}.model N NPN(BF=100)\n");
        var classes = FaultCatalogue
            .Of(amplifier, CompiledCircuit.Compile(amplifier.Circuit))
            .Classes.Where(c =>
                c.Identities[0].Fault.Mode == FaultMode.Short && c.Alterations.Length == 2
            )
            .ToArray();
        var set = FaultSet.Healthy;
        foreach (var fault in classes)
        {
            set = set.With(fault) ?? set;
        }

        Assert.Equal(5, classes.Length);
        Assert.Equal(2, set.Members.Length);
    }

    private static Fault[] Of(string cards)
    {
        var amplifier = Amplifiers.Of(cards);
        return
        [
            .. FaultCatalogue
                .Of(amplifier, CompiledCircuit.Compile(amplifier.Circuit))
                .Classes.SelectMany(c => c.Identities)
                .Select(identity => identity.Fault),
        ];
    }
}

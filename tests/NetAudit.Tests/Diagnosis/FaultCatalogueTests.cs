using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
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

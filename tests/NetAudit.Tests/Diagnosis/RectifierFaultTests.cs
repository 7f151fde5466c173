using NetAudit.Diagnosis;
using NetAudit.Diagnosis.Catalogue;
using NetAudit.Simulation;
using NetAudit.Tests.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Diagnosis;

public class RectifierFaultTests
{
    [Fact]
    public void Of_SuppliesOfASheet_HaveTheirFaults()
    {
        var amplifier = SupplyCircuit.Read();
        var catalogue = FaultCatalogue.Of(amplifier, CompiledCircuit.Compile(amplifier.Circuit));
        (string, FaultMode)[] faults =
        [
            .. catalogue
                .Classes.SelectMany(c => c.Identities)
                .Select(i => (i.Fault.Part, i.Fault.Mode)),
        ];
        Assert.Contains(("VHT", FaultMode.RectifierDead), faults);
        Assert.Contains(("VHT", FaultMode.HalfWindingOpen), faults);
        Assert.Contains(("VHT", FaultMode.RectifierWeak), faults);
        Assert.Contains(("VHT", FaultMode.RectifierPlateWeak), faults);
        Assert.Contains(("VHT", FaultMode.MainsLow), faults);
        Assert.Contains(("VNEG", FaultMode.RectifierDead), faults);
        Assert.DoesNotContain(("VNEG", FaultMode.HalfWindingOpen), faults);
        Assert.DoesNotContain(("VNEG", FaultMode.RectifierWeak), faults);
        // A dead diode and an open half winding are one to every reading.
        Assert.Single(
            catalogue.Classes,
            c =>
                c.Identities.Any(i => i.Fault.Mode == FaultMode.RectifierDead)
                && c.Identities.Any(i => i.Fault.Mode == FaultMode.HalfWindingOpen)
        );
    }

    [Theory]
    // Of two rectifiers the second stands for either; a half-wave supply has one.
    [InlineData("VHT", ParameterKind.SecondRectifier)]
    [InlineData("VNEG", ParameterKind.FirstRectifier)]
    public void RectifierDead_OfASupply_IsThatOfTheRectifierThatItHas(
        string supply,
        ParameterKind kind
    )
    {
        var amplifier = SupplyCircuit.Read();
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);

        var dead = FaultCatalogue
            .Of(amplifier, compiled)
            .Classes.Single(c =>
                c.Identities.Any(i =>
                    i.Fault.Part == supply && i.Fault.Mode == FaultMode.RectifierDead
                )
            );

        Assert.Equal(
            compiled.FindParameter(kind, amplifier.Circuit.FindElement(supply)),
            Assert.Single(dead.Alterations).A
        );
        Assert.Equal(-1, dead.Direction.Sign);
    }

    [Fact]
    public void Of_NoSupplyBlock_HasNone()
    {
        var amplifier = SupplyCircuit.Read(sheet: "");
        var catalogue = FaultCatalogue.Of(amplifier, CompiledCircuit.Compile(amplifier.Circuit));
        Assert.DoesNotContain(
            catalogue.Classes.SelectMany(c => c.Identities),
            i => i.Fault.Mode is FaultMode.RectifierDead or FaultMode.MainsLow
        );
    }
}

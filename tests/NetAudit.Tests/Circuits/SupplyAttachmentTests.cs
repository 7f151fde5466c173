using NetAudit.Circuits;
using NetAudit.Tests.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Circuits;

public class SupplyAttachmentTests
{
    [Fact]
    public void Attach_SheetWithSupplies_FindsPathReservoirAndSmoothing()
    {
        var circuit = SupplyCircuit.Read().Circuit;
        var source = (VoltageSource)circuit.Elements[circuit.FindElement("VHT")];
        var supply = Assert.IsType<RectifierSupply>(source.Supply);
        Assert.Equal(
            ["RHT", "RFUSE"],
            supply.Series.Select(e => circuit.Elements[e].Name).OrderDescending()
        );
        Assert.Equal("b1", circuit.Nodes[supply.ReservoirEnds.Positive.Node].Name);
        // R1 to the next capacitor; not the bleeder, not the output winding.
        Assert.Equal(1e-3, supply.SmoothingSiemens, 1e-12);
        Assert.Null(((VoltageSource)SupplyCircuit.Read(sheet: "").Circuit.Elements[0]).Supply);
    }

    [Theory]
    [InlineData("secondary = \"250V\"", "", "secondary voltage")]
    [InlineData("rectifier = \"EZ81\"", "rectifier = \"EL84\"", "no rectifier tube")]
    [InlineData("reservoir = \"C1\"", "reservoir = \"C4\"", "no path of resistors")]
    public void Attach_WhatCannotBe_IsReportedAtTheSource(string old, string other, string message)
    {
        var result = AmplifierReader.ReadText(
            CircuitReader.ReadText(SupplyCircuit.Netlist.Replace("R8 n2 g1", "R8 n2 0"), "s.cir"),
            SupplyCircuit.Sheet.Replace(old, other)
        );
        Assert.Null(result.Amplifier);
        var problem = Assert.Single(result.Diagnostics);
        Assert.Contains(message, problem.Message);
        Assert.Equal(6, problem.Where?.Line);
        Assert.NotNull(problem.Mend);
    }

    [Fact]
    public void Attach_SourceWhoseCurrentControlsAnother_IsRefused()
    {
        var result = AmplifierReader.ReadText(
            CircuitReader.ReadText(
                SupplyCircuit.Netlist.Replace(".end", "F1 0 x VHT 1\nRX x 0 1k\n.end"),
                "s.cir"
            ),
            SupplyCircuit.Sheet
        );
        Assert.Contains("controls another source", Assert.Single(result.Diagnostics).Message);
    }
}

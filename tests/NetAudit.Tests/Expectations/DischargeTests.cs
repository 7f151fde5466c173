using NetAudit.Expectations;
using NetAudit.Tests.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Expectations;

public class DischargeTests
{
    // t = R C ln(V0/V): 100 uF, 450 V, 220 kilohm: 48 s.
    [Fact]
    public void Of_OneReservoirAndItsBleeder_IsTheTimeConstant()
    {
        var discharge = Assert.Single(
            Discharge.Of(
                SupplyCircuit.Read(
                    "one\nVHT ht 0 DC 450\nR1 ht b1 1\nC1 b1 0 100u\nRB b1 0 220k\nRLOAD b1 0 10Meg\n",
                    "[power_off]\nopen = [\"VHT\"]\n"
                )
            )
        );
        var ohms = 220e3 * 10e6 / (220e3 + 10e6);
        var expected = ohms * 100e-6 * Math.Log(450.0 / 50);
        // Implicit Euler in steps of 2 % of the time passed.
        Assert.Equal(expected, discharge.Seconds!.Value, 0.015 * expected);
        Assert.Equal("C1", discharge.Part);
        Assert.Contains("RB", discharge.Bleeders);
    }

    // Two equal capacitors that a resistor joins: the second follows the first's bleeder, and both leave together.
    [Fact]
    public void Of_BleederOfTheFirst_DischargesTheSecondThroughTheDropper()
    {
        var discharges = Discharge.Of(SupplyCircuit.Read());
        var byName = discharges.ToDictionary(d => d.Part);
        // 94 uF through 220 kilohm from near 300 V.
        var expected = 94e-6 * 220e3 * Math.Log(byName["C1"].Volts / 50);
        Assert.Equal(expected, byName["C1"].Seconds!.Value, 0.05 * expected);
        Assert.Equal(expected, byName["C2"].Seconds!.Value, 0.05 * expected);
        Assert.Contains("R2", byName["C1"].Bleeders);
        // Nothing but insulation is left.
        Assert.Null(byName["C1"].WithoutBleeder);
        // The bias supply's stands just above 50 V and is soon below.
        Assert.InRange(byName["C3"].Seconds!.Value, 0.01, 2);
        Assert.DoesNotContain("C4", byName.Keys);
    }

    [Fact]
    public void Of_LowVoltage_IsEmpty() =>
        Assert.Empty(
            Discharge.Of(
                SupplyCircuit.Read("low\nV1 a 0 DC 24\nR1 a b 1\nC1 b 0 1000u\nR2 b 0 1k\n", "")
            )
        );
}

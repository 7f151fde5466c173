using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>
/// Decks of the Berkeley SPICE3 manual and examples. The values were computed once with ngspice 39.3 (the distribution prints none) and
/// hold where no ngspice is installed; digits as stated there.
/// </summary>
public class BerkeleyDeckTests
{
    [Theory]
    [InlineData("berkeley-differential-pair.cir", "3", 6.36449719, 1e-5)]
    [InlineData("berkeley-differential-pair.cir", "5", 6.36449719, 1e-5)]
    [InlineData("berkeley-differential-pair.cir", "4", -0.52906725, 1e-5)]
    [InlineData("berkeley-differential-pair.cir", "2", -9.9963633e-3, 1e-7)]
    [InlineData("berkeley-rtl-inverter.cir", "3", 1.645478, 1e-3)]
    [InlineData("berkeley-mirror-pair.cir", "4", 5.229109, 1e-5)]
    [InlineData("berkeley-mirror-pair.cir", "6", -0.769995, 1e-5)]
    [InlineData("berkeley-mirror-pair.cir", "7", -11.2211, 1e-4)]
    [InlineData("berkeley-wideband-amplifier.cir", "9", -5.05139, 1e-4)]
    [InlineData("berkeley-wideband-amplifier.cir", "12", 1.608875, 1e-5)]
    [InlineData("berkeley-wideband-amplifier.cir", "14", 7.165346, 1e-5)]
    [InlineData("berkeley-wideband-amplifier.cir", "16", 6.388781, 1e-5)]
    [InlineData("berkeley-wideband-amplifier.cir", "30", -28.7967e-3, 1e-6)]
    [InlineData("berkeley-schmitt-trigger.cir", "3", -0.259699, 1e-5)]
    [InlineData("berkeley-schmitt-trigger.cir", "5", -1.22059, 1e-4)]
    [InlineData("berkeley-schmitt-trigger.cir", "6", -1.11058, 1e-4)]
    [InlineData("berkeley-schmitt-trigger.cir", "7", -1.89187, 1e-4)]
    public void NodeVoltage_OfBerkeleyDeck_IsAsComputed(
        string deck,
        string node,
        double volts,
        double within
    )
    {
        var (circuit, point) = Solve(deck);
        Assert.InRange(point.NodeVolts[circuit.FindNode(node)], volts - within, volts + within);
    }

    /// <summary>KP is 2e-5 by default, so I = KP/2 W/L (VGS - VTO)² = 375 uA; SPICE3 manual, level 1.</summary>
    [Fact]
    public void DrainCurrent_OfMosDeck_IsTheSquareLaw()
    {
        var (circuit, point) = Solve("berkeley-mos-characteristic.cir");
        var amps = point.BranchAmps.Single(b => b.Element == circuit.FindElement("VIDS")).Amps;
        Assert.InRange(amps, 374.9e-6, 375.1e-6);
    }

    private static (Circuit, OperatingPoint) Solve(string deck)
    {
        var read = CircuitReader.ReadFile(Path.Combine(RepositoryFiles.Decks, deck));
        Assert.NotNull(read.Circuit);
        var point = new OperatingPointSolver().Solve(read.Circuit);
        Assert.True(point.Converged);
        return (read.Circuit, point);
    }
}

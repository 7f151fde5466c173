using NetAudit.Circuits;

namespace NetAudit.Tests.Simulation.Supplies;

/// <summary>A small amplifier stage fed by a rectifier, and a negative bias supply.</summary>
internal static class SupplyCircuit
{
    public const string Netlist = """
        Rectifier feeding a pentode
        .include tubes.lib
        VHT ht 0 DC 300
        RHT ht h1 60
        RFUSE h1 b1 0.8
        C1 b1 0 47u
        R1 b1 b2 1k
        C2 b2 0 47u
        R2 b1 0 220k
        RP b1 p1 240
        R3 b2 s1 470
        XV1 p1 g1 k1 s1 EL84
        R4 k1 0 150
        R5 g1 0 470k
        VNEG nb 0 DC -60
        RNEG nb n1 1.2k
        C3 n1 0 47u
        R6 n1 n2 15k
        C4 n2 0 47u
        R7 n2 0 33k
        R8 n2 g1 2.2Meg
        .end
        """;

    public const string Sheet = """
        [mains]
        nominal = 230
        sources = ["VHT", "VNEG"]
        [[supply]]
        name = "Anode supply"
        source = "VHT"
        secondary = "250V"
        winding_resistance = 90
        rectifier = "EZ81"
        circuit = "full-wave"
        reservoir = "C1"
        frequency = 50
        [[supply]]
        name = "Bias supply"
        source = "VNEG"
        secondary = "50V"
        winding_resistance = 20
        circuit = "half-wave"
        reservoir = "C3"
        frequency = 50
        """;

    public static Amplifier Read(string netlist = Netlist, string sheet = Sheet)
    {
        var result = AmplifierReader.ReadText(CircuitReader.ReadText(netlist, "supply.cir"), sheet);
        Assert(result.Amplifier is not null, string.Join('\n', result.Diagnostics));
        return result.Amplifier!;
    }

    private static void Assert(bool condition, string message) =>
        Xunit.Assert.True(condition, message);
}

using NetAudit.Circuits;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

public class SubcircuitTests
{
    private const string Koren = """
        .subckt 12AX7 1 2 3 PARAMETERS
        E1 7 0 VALUE={V(1,3)/KP*LOG(1+EXP(KP*(1/MU+V(2,3)/SQRT(KVB+V(1,3)*V(1,3)))))}
        RE1 7 0 1G
        G1 1 3 VALUE={(PWR(V(7),EX)+PWRS(V(7),EX))/KG1}
        RCP 1 3 1G
        C1 2 3 2.3P
        D3 5 3 DX
        R1 2 5 2K
        .MODEL DX D(IS=1N RS=1 CJO=10PF TT=1N)
        .ends
        V1 p 0 250
        V2 g 0 -2
        X1 p g 0 12AX7
        """;

    [Theory]
    // The form that published triode models have (Koren 1996): parameters after a bare PARAMS:, on a continuation, or without the mark.
    [InlineData("PARAMS: MU=100 EX=1.4 KG1=1060 KP=600 KVB=300")]
    [InlineData("\n+ PARAMS: MU=100 EX=1.4\n+ KG1=1060 KP=600 KVB=300")]
    [InlineData("MU=100 EX=1.4 KG1=1060 KP=600 KVB=300")]
    [InlineData("params:MU=100 EX = 1.4 KG1=1060, KP={300*2}, KVB='3*100'")]
    [InlineData("PARAMS: MU=100 EX=1.4 KG1={KG} KP=600 KVB=300 KG={1000+60}")]
    public void PublishedTriode_InEveryParameterSpelling_IsOneDevice(string parameters)
    {
        var circuit = Netlist.Circuit(
            Koren.Replace("PARAMETERS", parameters, StringComparison.Ordinal)
        );
        var instance = Assert.Single(circuit.Instances);
        Assert.True(instance.IsDevice);
        Assert.Equal(["1", "2", "3"], instance.Ports.Select(port => port.Port));
        Assert.Equal(
            ["X1.E1", "X1.RE1", "X1.G1", "X1.RCP", "X1.C1", "X1.D3", "X1.R1"],
            circuit.Elements.Where(e => e.Device == "X1").Select(e => e.Name)
        );
        var inner = circuit.Nodes[circuit.FindNode("X1.7")];
        Assert.True(inner.Internal);
    }

    [Fact]
    public void Device_HasOnePinAPort_SharedByEverythingBehindIt()
    {
        var circuit = Netlist.Circuit(
            "X1 p g 0 t\nR1 p 0 1k\nR2 g 0 1k\n.subckt t P G K\nB1 P K I={v(G,K)*1m}\nR1 P n 1k\nR2 n K 1k\nE1 n2 0 P K 2\nR3 n2 0 1\n.ends"
        );
        var pins = circuit.Pins.Where(pin => pin.Owner == "X1").ToList();
        Assert.Equal(["P", "G", "K"], pins.Select(pin => pin.Name));
        var (p, g, k) = (pins[0].Index, pins[1].Index, pins[2].Index);
        var source = (BehaviouralSource)circuit.Elements[circuit.FindElement("X1.B1")];
        Assert.Equal([p, k], source.Terminals.Select(end => end.Pin));
        var (positive, negative) = Assert.Single(source.ControlVoltages);
        Assert.Equal((g, k), (positive.Pin, negative.Pin));
        var resistor = circuit.Elements[circuit.FindElement("X1.R1")];
        Assert.Equal([p, -1], resistor.Terminals.Select(end => end.Pin));
        var gain = (VoltageControlledSource)circuit.Elements[circuit.FindElement("X1.E1")];
        Assert.Equal([p, k], gain.Controls.Select(end => end.Pin));
        Assert.Equal([-1, -1], gain.Terminals.Select(end => end.Pin));
    }

    [Fact]
    public void Law_OfNodeThatOnlyADeviceMeets_IsRead() =>
        Assert.NotNull(
            Netlist.Circuit(
                "B1 1 0 V=v(g)\nR1 1 0 1k\nX1 1 g t\n.subckt t P G\nB1 P 0 I={v(G)*1m}\n.ends"
            )
        );

    [Fact]
    public void Block_WithoutControlledSources_IsPartsOfTheirOwn()
    {
        var circuit = Netlist.Circuit(
            "V1 a 0 1\nXPOT a w 0 pot pos=0.3\n.subckt pot 1 2 3 pos=0.5\nRA 1 2 {1Meg*(1-pos)}\nRB 2 3 {1Meg*pos}\n.ends"
        );
        Assert.False(circuit.Instances[0].IsDevice);
        Assert.Equal(
            ["V1 1", "V1 2", "XPOT.RA 1", "XPOT.RA 2", "XPOT.RB 1", "XPOT.RB 2"],
            circuit.Pins.Select(pin => $"{pin.Owner} {pin.Name}")
        );
        Assert.Equal(7e5, ((Resistor)circuit.Elements[1]).Ohms, 1e-6);
    }

    [Fact]
    public void Blocks_Nested_HaveHierarchicalNames()
    {
        var circuit = Netlist.Circuit(
            """
            V1 ht 0 250
            XCH1 ht ch
            .subckt ch ht
            R3 ht p 100k
            XV1 p tube
            .subckt tube a
            G1 a 0 a n 1m
            R1 n 0 1k
            .ends
            .ends
            """
        );
        Assert.Equal(
            ["V1", "XCH1.R3", "XCH1.XV1.G1", "XCH1.XV1.R1"],
            circuit.Elements.Select(element => element.Name)
        );
        Assert.Equal(["0", "ht", "XCH1.p", "XCH1.XV1.n"], circuit.Nodes.Select(node => node.Name));
        Assert.Equal(
            [("XCH1", false), ("XCH1.XV1", true)],
            circuit.Instances.Select(i => (i.Name, i.IsDevice))
        );
        Assert.Equal([null, null, "XCH1.XV1", "XCH1.XV1"], circuit.Elements.Select(e => e.Device));
        Assert.False(circuit.Nodes[2].Internal);
    }

    [Theory]
    [InlineData("X1 1 s", 5.0)]
    [InlineData("X1 1 s v=7", 7.0)]
    [InlineData("X1 1 s PARAMS: v=7", 7.0)]
    [InlineData("X1 1 s params: v = {2*k}", 6.0)]
    [InlineData("X1 1 s v=k+1", 4.0)]
    [InlineData("X1 1 s v='k'", 3.0)]
    public void Parameters_OfInstance_AreWorkedOutWhereTheCardStands(string card, double volts)
    {
        // k inside the subcircuit is another k.
        var circuit = Netlist.Circuit(
            $"{card}\n.param k=3\nR1 1 0 1\n.subckt s p v=5\n.param k=100\nV1 p 0 {{v}}\n.ends"
        );
        Assert.Equal(volts, circuit.Elements.OfType<VoltageSource>().Single().Stimulus.Dc);
    }

    [Theory]
    // ngspice 39.3, measured.
    [InlineData(".subckt s 1 params: g=1\n.param g=5\nV1 1 0 {g}\n.ends\nX1 1 s g=7", 7)]
    [InlineData(".subckt s 1\n.param g=5\nV1 1 0 {g}\n.ends\nX1 1 s g=7", 7)]
    [InlineData(".subckt s 1\nV1 1 0 1\n.ends\n.subckt s 1\nV1 1 0 2\n.ends\nX1 1 s", 1)]
    [InlineData(".param a=1\n.param a=2\nV1 1 0 {a}", 2)]
    [InlineData(".param a={b}\n.param b=3\nV1 1 0 {a}", 3)]
    [InlineData(".param a = 1 + 2\nV1 1 0 {a}", 3)]
    [InlineData(".param a=3\nV1 1 0 a", 3)]
    [InlineData(".param x=2\n.if (x==2)\nV1 1 0 5\n.else\nV1 1 0 6\n.endif", 5)]
    // Documented meanings of the same cards.
    [InlineData(
        ".if (x>2)\nV1 1 0 5\n.elseif (x==2)\nV1 1 0 6\n.else\nV1 1 0 7\n.endif\n.param x=2",
        6
    )]
    [InlineData(".if (0)\n.include nowhere.lib\n.else\n.param y=4\n.endif\nV1 1 0 {y}", 4)]
    [InlineData(".if (1)\n.if (0)\nV1 1 0 1\n.else\nV1 1 0 2\n.endif\n.endif", 2)]
    [InlineData(".func f(x,y) {x*y+1}\nV1 1 0 {f(2,3)}", 7)]
    [InlineData(".func f(x) = 'x*x'\nV1 1 0 {f(f(2))}", 16)]
    [InlineData(".func f (x) x + 1\nV1 1 0 {f(2)}", 3)]
    [InlineData(".param f(x)='x*2'\nV1 1 0 {f(4)}", 8)]
    [InlineData(".func limit(x) {x}\nV1 1 0 {limit(9)}", 9)]
    [InlineData(".param e=5\nV1 1 0 {e}", 5)]
    [InlineData(".param A=5 b={a*2} C='B+1'\nV1 1 0 {c}", 11)]
    [InlineData("V1 1 0 {pwl(5,0,0,1,1,2,4)+pwl(-3,0,0,1,1,2,4)+pwl(1.5,0,0,1,1,2,4)}", 12.5)]
    public void Names_InScopes_HaveTheirValue(string cards, double volts)
    {
        var circuit = Netlist.Circuit(cards + "\nR9 1 0 1k");
        Assert.Equal(volts, circuit.Elements.OfType<VoltageSource>().Single().Stimulus.Dc);
    }

    [Fact]
    public void Model_InSubcircuit_HidesTheOuterOne()
    {
        var circuit = Netlist.Circuit(
            "D1 a 0 d\nX1 a s k=3\nR1 a 0 1\n.model d d(n=1)\n.subckt s p k=2\nD1 p 0 d\n.model d d(n={k})\n.ends"
        );
        Assert.Equal([1, 3], circuit.Elements.OfType<Diode>().Select(d => d.Model.Get("n", 0)));
    }

    [Fact]
    public void Global_Node_IsOneInAllSubcircuits()
    {
        var circuit = Netlist.Circuit(
            ".global vcc\nV1 vcc 0 5\nX1 a s\n.subckt s p\nR1 p vcc 1k\nR2 p gnd 1k\n.ends"
        );
        Assert.Equal(["0", "vcc", "a"], circuit.Nodes.Select(node => node.Name));
    }

    [Fact]
    public void Overrides_OfParameters_ReplaceTopLevelValues()
    {
        var text =
            "T\n.param volume=0.5 half={volume/2}\n.if (volume>0.8)\n.param loud=1\n.else\n.param loud=0\n.endif\nV1 1 0 {half}\nV2 2 0 {loud}\nR1 1 2 1k\nX1 1 s\n.subckt s p volume=3\nR1 p 0 {volume}\n.ends";
        var overrides = new Dictionary<string, double> { ["VOLUME"] = 0.9 };
        var circuit = CircuitReader.ReadText(text, "x.cir", parameterOverrides: overrides).Circuit!;
        Assert.Equal(
            [0.45, 1],
            circuit.Elements.OfType<VoltageSource>().Select(v => v.Stimulus.Dc)
        );
        Assert.Equal(3, ((Resistor)circuit.Elements[circuit.FindElement("X1.R1")]).Ohms);
    }

    [Fact]
    public void Override_OfUnknownParameter_IsWarnedOf()
    {
        var overrides = new Dictionary<string, double> { ["volum"] = 0.9 };
        var result = CircuitReader.ReadText(
            "T\n.param volume=0.5\nR1 1 0 {volume}",
            "x.cir",
            parameterOverrides: overrides
        );
        Assert.Equal("did you mean volume?", Assert.Single(result.Diagnostics).Mend);
    }
}

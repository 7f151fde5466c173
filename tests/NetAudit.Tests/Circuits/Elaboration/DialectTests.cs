using NetAudit.Circuits;
using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

/// <summary>Spellings from real netlists. Element facts: SPICE3 user manual, section 3; where dialects differ, see docs/netlist-dialect.md.</summary>
public class DialectTests
{
    [Theory]
    [InlineData("R1 1 0 4k7", 4700)]
    [InlineData("R1 1 0 2M2", 2.2e6)]
    [InlineData("R1 1 0 100R", 100)]
    [InlineData("R1 1 0 R47", 0.47)]
    [InlineData("R1 1 0 1Meg", 1e6)]
    [InlineData("R1 1 0 10ohm", 10)]
    [InlineData("R1 1 0 -5k", -5000)]
    [InlineData("R1 1 0 R=2k", 2000)]
    [InlineData("R1 1 0 r = 2k", 2000)]
    [InlineData("R1 1,0 2k", 2000)]
    [InlineData("r1 1 0 2K", 2000)]
    [InlineData("R1\t1\t0\t2k", 2000)]
    [InlineData("  R1 1 0 2k", 2000)]
    [InlineData("R1 1 0 {2*k}\n.param k=1k", 2000)]
    [InlineData("R1 1 0 '2*k'\n.param k=1k", 2000)]
    [InlineData("R1 1 0 k\n.param k=1k", 1000)]
    [InlineData("R1 1 0 2*k\n.param k=1k", 2000)]
    [InlineData("R1 1 0 R={k}\n.param k=1k", 1000)]
    [InlineData("R1 1 0\n+ 2k", 2000)]
    [InlineData("R1 1 0\n* between\n\n; and\n+2k", 2000)]
    [InlineData("R1 1 0 2k ; comment", 2000)]
    [InlineData("R1 1 0 2k $ comment", 2000)]
    [InlineData("R1 1 0 2k // comment", 2000)]
    [InlineData("R1 1 0 2k m=2", 1000)]
    [InlineData("R1 1 0 1k tc=1m,2u\n.temp 37", 1010.2)]
    [InlineData("R1 1 0 1k tc1=1m tc2=2u\n.temp 37", 1010.2)]
    [InlineData("R1 1 0 1k tc1=1m\n.options temp=37", 1010)]
    [InlineData("R1 1 0 rm 1k\n.model rm r(tc1=1m)\n.temp 37", 1010)]
    [InlineData("R1 1 0 1k rm\n.model rm res tc1=1m\n.temp 37", 1010)]
    // ngspice 39.3, measured: 505 ohm at 37 °C.
    [InlineData("R1 1 0 rm l=10u w=2u\n.model rm r(rsh=100 narrow=0 tc1=1m)\n.temp 37", 505)]
    [InlineData("R1 1 0 rm l=10u\n.model rm r(rsh=100)", 100)]
    [InlineData("R1 1 0 rm\n.model rm r(r=3k)", 3000)]
    public void Resistor_InAnySpelling_HasValue(string cards, double ohms) =>
        Assert.Equal(ohms, Netlist.Element<Resistor>(cards, "R1").Ohms, 1e-9 * Math.Abs(ohms));

    [Theory]
    [InlineData("C1 1 0 22uF", 22e-6)]
    [InlineData("C1 1 0 n47", 470e-12)]
    [InlineData("C1 1 0 4n7 ic=5", 4.7e-9)]
    [InlineData("C1 1 0 C=10p", 10e-12)]
    [InlineData("C1 1 0 10p m=3", 30e-12)]
    [InlineData("C1 1 0 cm\n.model cm c(cap=1u)", 1e-6)]
    public void Capacitor_InAnySpelling_HasValue(string cards, double farads) =>
        Assert.Equal(
            farads,
            Netlist.Element<Capacitor>(cards + "\nR9 1 0 1k", "C1").Farads,
            1e-9 * farads
        );

    [Theory]
    [InlineData("V1 1 0 5", 5)]
    [InlineData("V1 1 0 DC 5", 5)]
    [InlineData("V1 1 0 dc=5", 5)]
    [InlineData("V1 1 0 DC {2+3}", 5)]
    [InlineData("V1 1 0 5 AC 1", 5)]
    [InlineData("V1 1 0 AC 1 DC 5", 5)]
    [InlineData("V1 1 0 AC 1 45 5", 5)]
    [InlineData("V1 1 0 SIN(1 2 1k) DC 5", 5)]
    [InlineData("V1 1 0", 0)]
    [InlineData("V1 1 0 AC 1", 0)]
    // Value at time zero, ngspice 39.3, measured.
    [InlineData("V1 1 0 SIN(1 2 1k)", 1)]
    [InlineData("V1 1 0 SIN (1 2 1k)", 1)]
    [InlineData("V1 1 0 SIN 1 2 1k", 1)]
    [InlineData("V1 1 0 sin(1 2 1k 1m 0 90)", 3)]
    [InlineData("V1 1 0 pulse(1 4 0 1m 1m 1m 10m)", 1)]
    [InlineData("V1 1 0 exp(1 4 0 1m 5m 1m)", 1)]
    [InlineData("V1 1 0 pwl(-1m 2 1m 4)", 3)]
    [InlineData("V1 1 0 PWL(1m 2 2m 4)", 2)]
    [InlineData("V1 1 0 PWL((1m,2) (2m,4))", 2)]
    [InlineData("V1 1 0 sffm(1 2 10k 5 1k)", 1)]
    [InlineData("V1 1 0 am(2 0.5 1k 10k 0)", 0)]
    public void Source_InAnySpelling_HasDcValue(string cards, double volts) =>
        Assert.Equal(
            volts,
            Netlist.Element<VoltageSource>(cards + "\nR9 1 0 1k", "V1").Stimulus.Dc,
            1e-12
        );

    [Fact]
    public void Source_WithFunction_KeepsItsArguments()
    {
        var stimulus = Netlist
            .Element<VoltageSource>("V1 1 0 AC 20m 90 SIN(0 {a} 1k)\n.param a=28m\nR1 1 0 1", "V1")
            .Stimulus;
        Assert.Equal(
            (20e-3, 90.0, "sin"),
            (stimulus.AcMagnitude, stimulus.AcPhase, stimulus.Function)
        );
        Assert.Equal([0, 28e-3, 1e3], stimulus.Arguments);
    }

    [Theory]
    [InlineData("Net-_V1-Pad1_")]
    [InlineData("/IN")]
    [InlineData("B+")]
    [InlineData("n$12")]
    [InlineData("12V")]
    [InlineData("!RESET")]
    [InlineData("bus<3>")]
    [InlineData("a.b")]
    [InlineData("Träger")]
    [InlineData("00")]
    public void Node_WithOddName_IsRead(string name)
    {
        var circuit = Netlist.Circuit($"V1 {name} 0 5\nR1 {name} 0 1k");
        Assert.Equal(name, circuit.Nodes[1].Name);
        Assert.Equal(2, circuit.Nodes.Length);
    }

    [Theory]
    [InlineData("gnd")]
    [InlineData("GND")]
    [InlineData("0")]
    public void Node_Ground_IsChassis(string name) =>
        Assert.Single(Netlist.Circuit($"R1 {name} 0 1k").Nodes);

    [Fact]
    public void Names_InAnyCase_AreOne()
    {
        var circuit = Netlist.Circuit("V1 Vcc 0 5\nR1 VCC 0 1k\nF1 x 0 v1 2\nR2 X 0 1");
        Assert.Equal(["0", "Vcc", "x"], circuit.Nodes.Select(node => node.Name));
    }

    [Theory]
    [InlineData("V1 1 0 5\r\nR1 1 0 1k\r\n.end\r\n")]
    [InlineData("V1 1 0 5\rR1 1 0 1k\r")]
    [InlineData("V1 1 0 5\nR1 1 0 1k")]
    [InlineData("V1 1 0 5\nR1 1 0 1k\n.END\nthis is not read (((")]
    [InlineData("V1 1 0 5\n.control\nrun\nplot v(1) {'\n.endc\nR1 1 0 1k")]
    public void Lines_OfAnyKind_AreRead(string cards) =>
        Assert.Equal(2, Netlist.Circuit(cards).Elements.Length);

    [Fact]
    public void Title_IsTheFirstLine_WhateverItSays()
    {
        var result = CircuitReader.ReadText("R1 1 0 ((( {\nV1 1 0 5\nR1 1 0 1k\n", "x.cir");
        Assert.Equal("R1 1 0 ((( {", result.Circuit!.Title);
        Assert.Equal(2, result.Circuit.Elements.Length);
    }

    [Theory]
    [InlineData(".op")]
    [InlineData(".tran 1u 10m")]
    [InlineData(".ac dec 10 1 1Meg")]
    [InlineData(".print dc v(1)")]
    [InlineData(".meas tran x find v(1) at=1m")]
    [InlineData(".options reltol=1e-4")]
    [InlineData(".probe v(1)")]
    [InlineData(".control\nquit\n.endc")]
    public void AnalysisCard_IsReadOver_WithoutComplaint(string card)
    {
        var result = Netlist.Read($"V1 1 0 5\nR1 1 0 1k\n{card}");
        Assert.NotNull(result.Circuit);
        Assert.All(result.Diagnostics, d => Assert.Equal(Severity.Note, d.Severity));
    }

    [Fact]
    public void Hints_OfNodesetAndIc_AreKept()
    {
        var circuit = Netlist.Circuit(
            ".param q=2\nV1 a 0 5\nR1 a b 1k\nR2 b 0 1k\n.nodeset v(a)=5 V(b)={q}\n.ic v(b)=1"
        );
        Assert.Equal([(1, 5.0), (2, 2.0), (2, 1.0)], circuit.Hints);
    }

    [Fact]
    public void Hints_AreReadFromSubcircuits()
    {
        var circuit = Netlist.Circuit(
            ".subckt s a\nR1 a n 1k\nR2 n 0 1k\n.ic v(n)=3\n.ends\nV1 1 0 5\nX1 1 s"
        );
        Assert.Equal([(circuit.FindNode("X1.n"), 3.0)], circuit.Hints);
    }

    [Theory]
    [InlineData("K1 L1 L2 0.99", "K1")]
    [InlineData("K1 L2 L1 {k}\n.param k=0.99", "K1")]
    public void Coupling_BeforeItsInductors_FindsThem(string card, string name)
    {
        var circuit = Netlist.Circuit($"{card}\nL1 1 0 1\nL2 2 0 2m\nR1 1 0 1\nR2 2 0 1");
        var coupling = Assert.IsType<Coupling>(circuit.Elements[circuit.FindElement(name)]);
        Assert.Equal(0.99, coupling.Coefficient);
        Assert.All(
            new[] { coupling.First, coupling.Second },
            index => Assert.IsType<Inductor>(circuit.Elements[index])
        );
    }

    [Fact]
    public void Coupling_OfThreeWindings_IsThreePairs() =>
        Assert.Equal(
            3,
            Netlist
                .Circuit(
                    "L1 1 0 1\nL2 2 0 1\nL3 3 0 1\nR1 1 0 1\nR2 2 0 1\nR3 3 0 1\nK1 L1 L2 L3 0.9"
                )
                .Elements.OfType<Coupling>()
                .Count()
        );

    [Theory]
    [InlineData("D1 1 0 dm", 1)]
    [InlineData("D1 1 0 dm 2", 2)]
    [InlineData("D1 1 0 dm area=2 off", 2)]
    [InlineData("D1 1 0 dm off ic=0.5", 1)]
    [InlineData("D1 1 0 dm 2 m=3", 6)]
    public void Diode_InAnySpelling_HasArea(string card, double area) =>
        Assert.Equal(
            area,
            Netlist.Element<Diode>($"{card}\n.model dm d(is=1e-14)\nR1 1 0 1k", "D1").Area
        );

    [Theory]
    [InlineData("Q1 c b e qm", 3)]
    [InlineData("Q1 c b e s qm", 4)]
    [InlineData("Q1 c b e 0 qm 2", 4)]
    [InlineData("Q1 c b e qm area=2", 3)]
    public void Transistor_WithAndWithoutSubstrate_IsRead(string card, int terminals) =>
        Assert.Equal(
            terminals,
            Netlist
                .Element<BipolarTransistor>($"{card}\n.model qm npn bf=50", "Q1")
                .Terminals.Length
        );

    [Fact]
    public void MosFet_SizesAndMultiplicity_AreRead()
    {
        var m = Netlist.Element<MosFet>(
            "M1 d g s b mm L=2u W={w} m=3 ad=1p\n.param w=10u\n.model mm nmos(level=1 vto=1)",
            "M1"
        );
        Assert.Equal((2e-6, 10e-6, 3.0), (m.Length, m.Width, m.Multiplicity));
        // SPICE3 options DEFL, DEFW: 100 um.
        var plain = Netlist.Element<MosFet>("M1 d g s b mm\n.model mm pmos(vt0=-1)", "M1");
        Assert.Equal((1e-4, 1e-4), (plain.Length, plain.Width));
        Assert.Equal(-1, plain.Model.Get("vto", 0));
    }

    [Theory]
    [InlineData(
        "q npn(VA=50 PE=0.7 ME=0.4 PC=0.6 MC=0.3 CCS=1p IK=0.1)",
        "vaf=50 vje=0.7 mje=0.4 vjc=0.6 mjc=0.3 cjs=1e-12 ikf=0.1"
    )]
    [InlineData("q NPN (BF = 100, IS = 1E-12)", "bf=100 is=1e-12")]
    [InlineData("q npn BF=100 IS=1e-12", "bf=100 is=1e-12")]
    [InlineData("q npn\n+ (bf={b}\n+ is=1e-12)\n.param b=100", "bf=100 is=1e-12")]
    [InlineData("q npn(is=1e-14 c2=1000 c4=2)", "is=1e-14 ise=1e-11 isc=2e-14")]
    [InlineData("q npn(bf=100 mfg=ACME)", "bf=100")]
    [InlineData("q npn", "")]
    [InlineData("q npn()", "")]
    public void Model_InAnySpelling_HasModernNames(string model, string expected)
    {
        // Old names: SPICE3 user manual 3.4.4 and the Berkeley example decks.
        var q = Netlist.Element<BipolarTransistor>($"Q1 c b e q\n.model {model}", "Q1");
        Assert.Equal(
            expected.Split(' ', StringSplitOptions.RemoveEmptyEntries).Order(),
            q.Model.Parameters.Select(p =>
                    FormattableString.Invariant($"{p.Key}={p.Value:G12}").ToLowerInvariant()
                )
                .Order()
        );
    }
}

using NetAudit.Circuits;
using Xunit;

namespace NetAudit.Tests.Circuits.Elaboration;

public class ControlledSourceTests
{
    [Theory]
    [InlineData("E1 1 0 a b 10", OutputKind.Voltage, 10)]
    [InlineData("E1 1 0 (a,b) 10", OutputKind.Voltage, 10)]
    [InlineData("E1 1 0 (a b) {2*5}", OutputKind.Voltage, 10)]
    [InlineData("G1 1 0 a b 2m", OutputKind.Current, 2e-3)]
    [InlineData("G1 1 0 a b 1m m=2", OutputKind.Current, 2e-3)]
    public void VoltageControlled_Linear_HasGainAndControls(
        string card,
        OutputKind kind,
        double gain
    )
    {
        var source = Netlist.Element<VoltageControlledSource>(card + Surroundings, card[..2]);
        Assert.Equal((kind, gain), (source.Kind, source.Gain));
        Assert.Equal(2, source.Controls.Length);
        Assert.All(source.Controls, control => Assert.True(control.Pin >= 0));
    }

    [Theory]
    [InlineData("F1 1 0 VA 3", OutputKind.Current)]
    [InlineData("H1 1 0 va 3", OutputKind.Voltage)]
    [InlineData("F1 1 0 L1 3\nL1 1 0 1", OutputKind.Current)]
    public void CurrentControlled_Linear_FindsItsSource(string card, OutputKind kind)
    {
        var circuit = Netlist.Circuit(card + Surroundings);
        var source = circuit.Elements.OfType<CurrentControlledSource>().Single();
        Assert.Equal((kind, 3.0), (source.Kind, source.Gain));
        Assert.True(circuit.Elements[source.Control] is VoltageSource or Inductor);
    }

    [Theory]
    // a = 2 V, b = 3 V. ngspice 39.3, measured, for the first five; the others are the same laws written otherwise.
    [InlineData("E1 1 0 POLY(2) a 0 b 0 0.5 10 100 1000 1e4 1e5", 964320.5)]
    [InlineData("E1 1 0 POLY(1) a 0 10", 10)]
    [InlineData("E1 1 0 POLY(1) (a,0) 1 10", 21)]
    [InlineData("E1 1 0 TABLE {v(a)} = (0,0) (1,1) (2,4)", 4)]
    [InlineData("E1 1 0 TABLE {v(a)*0.75} = (0,0) (1,1) (2,4)", 2.5)]
    [InlineData("E1 1 0 POLY(2) (a,0) (b,0) 0 1 1", 5)]
    [InlineData("E1 1 0 POLY(3) a 0 b 0 b a 0 0 0 0 1 1 1 1 1 1", 25)]
    [InlineData("E1 1 0 TABLE(v(a)*0.75) (0,0) (1,1) (2,4)", 2.5)]
    [InlineData("E1 1 0 TABLE {v(a)*0.75} = (0 0 1 1 2 4)", 2.5)]
    [InlineData("E1 1 0 TABLE {v(a)*0.75} 0 0 1 1 2 4", 2.5)]
    [InlineData("E1 1 0 VALUE={v(a)*v(b)}", 6)]
    [InlineData("E1 1 0 VALUE = { v(a) * v(b) }", 6)]
    [InlineData("E1 1 0 VALUE {v(a)*v(b)}", 6)]
    [InlineData("E1 1 0 VALUE='v(a)*v(b)'", 6)]
    [InlineData("E1 1 0 VOL='v(a)*v(b)'", 6)]
    [InlineData("E1 1 0 vol = v(a)*v(b)", 6)]
    [InlineData("G1 1 0 CUR='v(a)*v(b)'", 6)]
    [InlineData("G1 1 0 VALUE={v(a)*v(b)} m=2", 12)]
    [InlineData("B1 1 0 V=v(a) * v(b)", 6)]
    [InlineData("B1 1 0 I = v(a)\n+ * v(b)", 6)]
    [InlineData("B1 1 0 V={v(a)*v(b)} tc1=0", 6)]
    [InlineData("B1 1 0 V=v(a) >= 2 ? v(b) : 0", 3)]
    [InlineData("B1 1 0 V=v(a)==2", 1)]
    [InlineData("B1 1 0 V=v(a) == 2 && v(b) != 2", 1)]
    [InlineData("B1 1 0 V=if(v(a)>1, v(b), 0)", 3)]
    [InlineData("B1 1 0 V={k}*v(a)\n.param k=4", 8)]
    [InlineData("B1 1 0 V=k*v(a)\n.param k=4", 8)]
    [InlineData("B1 1 0 V=f(v(a),2)\n.func f(x,y) {x^y+1}", 5)]
    [InlineData("B1 1 0 V=v(b,a)", 1)]
    [InlineData("B1 1 0 V=pwl(pow(-v(a),3),0,0,1,1,2,4)", 22)]
    [InlineData("B1 1 0 V=v(X1.n)\nX1 a s\n.subckt s p\nR1 p n 1k\nR2 n 0 1k\n.ends", 2)]
    [InlineData("S1 1 a b 0 sm\n.model sm sw(vt=1 ron=4 roff=1meg)", -0.5)]
    [InlineData("S1 1 a 0 b sm\n.model sm vswitch(von=1 ron=4 roff=1meg)", -2e-6)]
    public void Law_InAnySpelling_HasItsValue(string card, double expected)
    {
        var circuit = Netlist.Circuit(card + Surroundings);
        var source = circuit.Elements.OfType<BehaviouralSource>().Single();
        // Node a at 2 V, b at 3 V, all others at a voltage that no row senses except the switch's own, node 1 at 0 V.
        double Volts(int node) =>
            circuit.Nodes[node].Name switch
            {
                "a" or "X1.n" => 2,
                "b" => 3,
                _ => 0,
            };
        var controls = source
            .ControlVoltages.Select(pair => Volts(pair.Positive.Node) - Volts(pair.Negative.Node))
            .ToArray();
        Assert.Equal(expected, LawValue.Of(source.Law, controls, []), 1e-9 * Math.Abs(expected));
    }

    [Fact]
    public void CurrentPolynomial_SensesItsSources()
    {
        var circuit = Netlist.Circuit("F1 0 1 POLY(2) VA VB 0 2 3" + Surroundings);
        var source = circuit.Elements.OfType<BehaviouralSource>().Single();
        Assert.Equal(
            ["VA", "VB"],
            source.ControlCurrents.Select(index => circuit.Elements[index].Name)
        );
        Assert.Equal(2 * 5 + 3 * 7, LawValue.Of(source.Law, [], [5, 7]));
    }

    private const string Surroundings = "\nVA a 0 2\nVB b 0 3\nR1 1 0 1k";
}

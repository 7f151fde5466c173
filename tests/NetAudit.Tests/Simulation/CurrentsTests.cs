using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>Currents that are told of single elements, by Kirchhoff's law at every node and by hand.</summary>
public sealed class CurrentsTests
{
    // Every node but the supply's ends at elements that tell of their current.
    private const string Cards = """
        V1 s 0 12
        R1 s c 2.2k
        R2 s b 470k
        Q1 c b e QN
        R3 e 0 470
        R4 s d 1k
        M1 d g f 0 MN W=10u L=2u
        RG1 s g 470k
        RG2 g 0 220k
        R5 f 0 330
        R6 s h 1k
        J1 h 0 j JN
        R7 j 0 680
        R8 s k 1k
        D1 k m DD
        R9 m 0 1k
        B1 m 0 I=V(k)*1m
        R10 s n 1k
        Q2 p q n QP
        RP p 0 1k
        RQ q 0 100k
        .model QN NPN(BF=100 RB=100)
        .model QP PNP(BF=80)
        .model MN NMOS(VTO=1 KP=200u GAMMA=0.4 LAMBDA=0.02)
        .model JN NJF(VTO=-2 BETA=1m LAMBDA=0.02)
        .model DD D(IS=1n)
        """;

    private readonly Circuit _circuit = Netlist.Read(Cards);
    private readonly Workspace _workspace;

    public CurrentsTests()
    {
        _workspace = new(CompiledCircuit.Compile(_circuit));
        Assert.True(_workspace.Solve([]).Converged);
    }

    [Fact]
    public void Amps_IntoEveryNode_AddUpToNothing()
    {
        _workspace.EvaluateCurrents();
        AssertBalanced([]);
    }

    [Fact]
    public void Amps_BehindJoints_StillAddUp()
    {
        _workspace.Break(_circuit.Pin("Q1", "b"), 47e3);
        _workspace.Break(_circuit.Pin("R4", "2"), 1e3);
        Assert.True(_workspace.Solve([]).Converged);
        _workspace.EvaluateCurrents();

        AssertBalanced([]);
        // The joint takes volts between the node and the base.
        var amps = _workspace.TerminalAmps(_circuit.FindElement("Q1"), 1);
        var drop = Volts("b") - _workspace.PinVolts(_circuit.Pin("Q1", "b"));
        Assert.Equal(47e3 * amps, drop, 1e-6);
        Assert.Equal(
            (Volts("s") - Volts("d")) / 2e3,
            _workspace.ResistorAmps(_circuit.FindElement("R4")),
            1e-9
        );
        Assert.Equal(1e3, _workspace.ResistorOhms(_circuit.FindElement("R4")), 1e-9);
    }

    [Fact]
    public void Amps_OfEachTerminal_HaveTheSignOfWhatFlowsIn()
    {
        _workspace.EvaluateCurrents();

        double In(string element, int terminal) =>
            _workspace.TerminalAmps(_circuit.FindElement(element), terminal);
        Assert.Equal((Volts("s") - Volts("c")) / 2200, In("Q1", 0), 1e-9);
        Assert.Equal((Volts("s") - Volts("b")) / 470e3, In("Q1", 1), 1e-9);
        Assert.Equal(-Volts("e") / 470, In("Q1", 2), 1e-9);
        Assert.True(In("Q1", 0) > 0);
        Assert.True(In("Q2", 0) < 0);
        Assert.Equal((Volts("s") - Volts("k")) / 1e3, In("D1", 0), 1e-9);
        Assert.Equal(-In("D1", 0), In("D1", 1), 1e-9);
        Assert.Equal(Volts("k") * 1e-3, _workspace.LawAmps(_circuit.FindElement("B1")), 1e-9);
        Assert.Equal(0, In("R1", 0));
        Assert.Equal(0, _workspace.ResistorAmps(_circuit.FindElement("Q1")));
        Assert.Equal(0, _workspace.LawAmps(_circuit.FindElement("R1")));
    }

    [Fact]
    public void Amps_AfterAnEdit_AreNotToBeHadBeforeTheNextSolve()
    {
        _workspace.Inject(0, _circuit.FindNode("c"), 1e-3);
        Assert.Throws<InvalidOperationException>(_workspace.EvaluateCurrents);
        Assert.True(_workspace.Solve([]).Converged);
        _workspace.EvaluateCurrents();

        _workspace.Restore();
        Assert.Throws<InvalidOperationException>(_workspace.EvaluateCurrents);
    }

    [Fact]
    public void PinAmps_OfSmallSignals_AddUpToNothing()
    {
        var circuit = Netlist.Read(Cards + "\nC1 c q 1n\nL1 e 0 1\nC2 b 0 100p");
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        Assert.True(workspace.Solve([]).Converged);
        var small = new SmallSignalWorkspace(workspace);
        var levels = new Complex[1];
        Assert.True(
            small.Levels(
                1e3,
                [Excitation.OfSource(circuit.FindElement("V1"), 1)],
                [new(circuit.FindNode("c"), 0)],
                [],
                levels,
                []
            )
        );

        foreach (var node in circuit.Nodes.Where(n => !n.Internal && n.Name is not ("0" or "s")))
        {
            Complex[] amps =
            [
                .. circuit
                    .Pins.Where(p => p.Node == node.Index)
                    .Select(p => small.PinAmps(p.Index)),
            ];
            var most = amps.Max(Complex.Abs);
            Assert.True(most > 1e-9, node.Name);
            var sum = amps.Aggregate(Complex.Zero, (a, b) => a + b);
            Assert.True(Complex.Abs(sum) < 1e-6 * most, $"{node.Name}: {sum} of {most}");
        }
        var through = small.PinAmps(circuit.Pin("R1", "2"));
        Assert.True(Complex.Abs(through + (1 - levels[0]) / 2200) < 1e-9);
    }

    private double Volts(string node) => _workspace.Volts[_circuit.FindNode(node)];

    private void AssertBalanced(string[] but)
    {
        foreach (
            var node in _circuit.Nodes.Where(n =>
                !n.Internal && n.Name is not ("0" or "s") && !but.Contains(n.Name)
            )
        )
        {
            double sum = 0,
                most = 0;
            for (var i = 0; i < _circuit.Elements.Length; i++)
            {
                var ends = _circuit.Elements[i].Terminals;
                for (var t = 0; t < ends.Length; t++)
                {
                    var away = t == 0 ? 1 : -1;
                    var amps =
                        ends[t].Node != node.Index ? 0
                        : _circuit.Elements[i] is Resistor ? away * _workspace.ResistorAmps(i)
                        : _circuit.Elements[i].Name.StartsWith('B') ? away * _workspace.LawAmps(i)
                        : _workspace.TerminalAmps(i, t);
                    sum += amps;
                    most = Math.Max(most, Math.Abs(amps));
                }
            }
            Assert.True(most > 1e-9, node.Name);
            Assert.True(Math.Abs(sum) < 1e-6 * most, $"{node.Name}: {sum} of {most}");
        }
    }
}

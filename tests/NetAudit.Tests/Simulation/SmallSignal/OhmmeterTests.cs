using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using Xunit;

namespace NetAudit.Tests.Simulation.SmallSignal;

/// <summary>What an ohmmeter shows where its own current opens a junction: the diode law in closed form, and finite differences.</summary>
public class OhmmeterTests
{
    private const double TestVolts = 0.2;

    // k T / q at 27 °C, SI constants of 2019.
    private const double ThermalVolts = 1.380649e-23 * 300.15 / 1.602176634e-19;

    private const string Diode = ".model D1N4148 D(IS=2.5n N=1.75)";

    [Theory]
    // 18 Mohm at small currents: 1 nA finds 15 mV, less than a tenth of full scale, 10 nA 73 mV.
    [InlineData("D1 a 0 D1N4148", double.PositiveInfinity, 1e-8)]
    // 100 kohm find 0.1 V at 1 uA.
    [InlineData("D1 a 0 D1N4148\nR1 a 0 100k", 100e3, 1e-6)]
    public void Read_JunctionThatConducts_IsVoltsOverTheFirstCurrentOnScale(
        string cards,
        double beside,
        double amperes
    )
    {
        var meter = Meter(cards, out var workspace);
        var volts = amperes * Read(meter, workspace.Circuit.Circuit.FindNode("a"));
        Assert.InRange(volts, TestVolts / 10, TestVolts);
        Assert.Equal(amperes, Through(volts), 1e-4 * amperes);
        Assert.True(Through(TestVolts / 10) > amperes / 10);

        double Through(double v) => 2.5e-9 * (Math.Exp(v / (1.75 * ThermalVolts)) - 1) + v / beside;
    }

    [Fact]
    public void Read_JunctionTheWrongWayRound_IsThatOfItsSaturation()
    {
        var meter = Meter("D1 0 a D1N4148\nD2 0 b DS\n.model DS D(IS=1e-14)", out var workspace);
        // Saturation at 2.5 nA: 1 nA finds Vt n ln(1 / (1 - 0.4)).
        var ohms = Read(meter, workspace.Circuit.Circuit.FindNode("a"));
        Assert.Equal(-1.75 * ThermalVolts * Math.Log(0.6) / 1e-9, ohms, 1e-3 * ohms);
        Assert.True(Read(meter, workspace.Circuit.Circuit.FindNode("b")) > 1e9);
    }

    [Fact]
    public void Read_OhmsLaw_IsTheResistanceOfSmallCurrents()
    {
        var meter = Meter("R1 a b 4.7k\nR2 b 0 10k\nD1 c 0 D1N4148\nR3 c 0 1k", out var workspace);
        var node = workspace.Circuit.Circuit.FindNode("a");
        Assert.Equal(14.7e3, Read(meter, node), 1e-3);
    }

    [Fact]
    public void Read_Derivatives_AreThoseOfTheReadingAtItsCurrent()
    {
        const string Cards =
            "R1 a b 47k\nD1 b c D1N4148\nR2 c 0 220k\nQ1 b d 0 QN\nR3 d b 1Meg\nR4 b 0 2.2Meg\n.model QN NPN(IS=1e-10 BF=100)";
        var meter = Meter(Cards, out var workspace);
        var circuit = workspace.Circuit;
        workspace.Bridge(circuit.Circuit.FindNode("b"), 0, 4.7e6);
        workspace.Solve([]);
        NodePair[] pairs =
        [
            new(circuit.Circuit.FindNode("a"), 0),
            new(circuit.Circuit.FindNode("d"), circuit.Circuit.FindNode("c")),
        ];
        int[] columns = [.. Enumerable.Range(0, circuit.Parameters.Length + 1)];
        var (ohms, up, down) = (new double[2], new double[2], new double[2]);
        var (jacobian, bends) = (new double[2 * columns.Length], new double[2]);
        Assert.True(meter.Read(pairs, columns, ohms, jacobian, bends));
        Assert.All(bends, bend => Assert.InRange(bend, -0.9, -0.01));
        var checks = 0;
        foreach (var column in columns)
        {
            var edit = column - circuit.Parameters.Length;
            var value = edit < 0 ? workspace.Get(column) : workspace.EditValue(edit);
            if (value == 0)
            {
                continue;
            }
            At(value * (1 + 1e-4), up);
            At(value * (1 - 1e-4), down);
            At(value, ohms);
            for (var p = 0; p < 2; p++)
            {
                var expected = (up[p] - down[p]) / 2;
                var slope = jacobian[p * columns.Length + column] * value * 1e-4;
                Assert.Equal(expected, slope, 1e-3 * Math.Abs(expected) + 1e-8 * ohms[p]);
                checks += Math.Abs(expected) > 1e-6 * ohms[p] ? 1 : 0;
            }

            void At(double changed, double[] results)
            {
                if (edit < 0)
                {
                    workspace.Set(column, changed);
                }
                else
                {
                    workspace.SetEdit(edit, changed);
                }
                Assert.True(workspace.Solve([]).Converged);
                Assert.True(meter.Read(pairs, [], results, [], []));
            }
        }
        Assert.True(checks > 10, $"{checks} slopes that count");
    }

    // A meter whose ranges pass another current shows what the bend says.
    [Fact]
    public void Read_Bend_IsTheSlopeByTheTestCurrent()
    {
        var meter = Meter("D1 a 0 D1N4148\nR1 a 0 30Meg", out var workspace);
        var node = workspace.Circuit.Circuit.FindNode("a");
        var (ohms, bend) = (new double[1], new double[1]);
        Assert.True(meter.Read([new(node, 0)], [0], ohms, new double[1], bend));
        var volts = ohms[0] * 1e-8;
        var conductance =
            1 / 30e6 + 2.5e-9 / (1.75 * ThermalVolts) * Math.Exp(volts / (1.75 * ThermalVolts));
        Assert.Equal(1 / conductance / ohms[0] - 1, bend[0], 1e-3);
    }

    private static double Read(Ohmmeter meter, int node)
    {
        var ohms = new double[1];
        Assert.True(meter.Read([new(node, 0)], [], ohms, [], []));
        return ohms[0];
    }

    private static Ohmmeter Meter(string cards, out Workspace workspace)
    {
        workspace = new(CompiledCircuit.Compile(Netlist.Read($"{cards}\n{Diode}")));
        Assert.True(workspace.Solve([]).Converged);
        return new(new SmallSignalWorkspace(workspace), TestVolts);
    }
}

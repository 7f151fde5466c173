using System.Numerics;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using Xunit;

namespace NetAudit.Tests.Simulation.SmallSignal;

/// <summary>Resistances of circuits without power, and impedances, in closed form and by finite differences.</summary>
public class ImpedanceTests
{
    [Fact]
    public void Resistances_Ladder_AreThoseOfSeriesAndParallel()
    {
        var (circuit, small) = Solved(
            "V1 a 0 0\nR1 a b 10k\nR2 b 0 20k\nR3 b c 4.7k\nC1 c d 1u\nR4 d 0 1Meg\nL1 b e 1\nR5 e 0 30k\nC2 d f 1u"
        );
        var b = 1 / (1 / 10e3 + 1 / 20e3 + 1 / 30e3);
        Assert.Equal(b, Ohms("b", "0"), b * 1e-9);
        Assert.Equal(b + 4.7e3, Ohms("c", "0"), 1e-6);
        Assert.Equal(4.7e3, Ohms("b", "c"), 1e-6);
        Assert.Equal(1e6, Ohms("d", "0"), 1e-2);
        Assert.Equal(b + 4.7e3 + 1e6, Ohms("c", "d"), 1e-2);
        Assert.Equal(0, Ohms("b", "e"), 1e-9);
        Assert.Equal(0, Ohms("a", "0"), 1e-9);
        // Only leakage of 1e-12 S reaches f, which no DC path ties to chassis.
        Assert.InRange(Ohms("f", "d"), 1e11, 1e16);

        double Ohms(string positive, string negative)
        {
            var ohms = new double[1];
            Assert.True(
                small.Resistances(
                    [new(circuit.FindNode(positive), circuit.FindNode(negative))],
                    [],
                    ohms,
                    []
                )
            );
            return ohms[0];
        }
    }

    [Fact]
    public void Resistances_OfSampleWithoutPower_DerivativesAreThoseOfTheResistance()
    {
        var circuit = Netlist.Sample("marram-20.cir");
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        workspace.Set(compiled.FindParameter(ParameterKind.Value, circuit.FindElement("VHT")), 0);
        workspace.Break(circuit.Pin("VHT", "1"), double.PositiveInfinity);
        workspace.Break(circuit.Pin("R3", "1"), 4700);
        workspace.Bridge(circuit.FindNode("p2"), circuit.FindNode("k2"), 2.2e6);
        Assert.True(workspace.Solve([]).Converged);
        var small = new SmallSignalWorkspace(workspace);
        var pairs = circuit
            .Nodes.Where(node => !node.Internal && node.Index > 0)
            .Select(node => new NodePair(node.Index, 0))
            .Append(new(circuit.FindNode("p1"), circuit.FindNode("b4")))
            .ToArray();
        var columns = Enumerable.Range(0, compiled.Parameters.Length + 3).ToArray();
        var (ohms, up, down) = (
            new double[pairs.Length],
            new double[pairs.Length],
            new double[pairs.Length]
        );
        var jacobian = new double[pairs.Length * columns.Length];
        Assert.True(small.Resistances(pairs, columns, ohms, jacobian));
        foreach (
            var column in columns.Where(column =>
                column != compiled.Parameters.Length
                && (column > compiled.Parameters.Length || workspace.Get(column) != 0)
            )
        )
        {
            var isEdit = column >= compiled.Parameters.Length;
            var edit = column - compiled.Parameters.Length;
            var value = isEdit ? workspace.EditValue(edit) : workspace.Get(column);
            At(value * (1 + 1e-4), up);
            At(value * (1 - 1e-4), down);
            At(value, ohms);
            for (var p = 0; p < pairs.Length; p++)
            {
                var expected = (up[p] - down[p]) / 2;
                Assert.Equal(
                    expected,
                    jacobian[p * columns.Length + column] * value * 1e-4,
                    1e-4 * Math.Abs(expected) + 1e-9 * Math.Abs(ohms[p])
                );
            }

            void At(double changed, double[] results)
            {
                if (isEdit)
                {
                    workspace.SetEdit(edit, changed);
                }
                else
                {
                    workspace.Set(column, changed);
                }
                Assert.True(workspace.Solve(workspace.Volts).Converged);
                Assert.True(small.Resistances(pairs, [], results, []));
            }
        }
    }

    // sqrt(L1/L2) = 20: the loudspeaker is seen as 400 times its ohms, in parallel with the primary inductance.
    [Fact]
    public void Impedances_Transformer_ShowsTheLoadTimesTheSquareOfTheRatio()
    {
        var (circuit, small) = Solved(
            "V1 x 0 0\nRX x p 1e12\nL1 p 0 20\nL2 s 0 50m\nK1 L1 L2 1\nR1 s 0 8"
        );
        var ohms = new Complex[1];
        Assert.True(small.Impedances(1000, [new(circuit.FindNode("p"), 0)], [], ohms, []));
        var primary = new Complex(0, 2 * Math.PI * 1000 * 20);
        var expected = 1 / (1 / primary + 1 / (400.0 * 8));
        Assert.Equal(expected.Real, ohms[0].Real, 1e-3);
        Assert.Equal(expected.Imaginary, ohms[0].Imaginary, 1e-3);
    }

    [Fact]
    public void Levels_MeterWithCapacitance_LoadsTheDivider()
    {
        var (circuit, small) = Solved("V1 a 0 0\nR1 a b 100k\nR2 b 0 100k");
        var levels = new Complex[1];
        Assert.True(
            small.Levels(
                10e3,
                [Excitation.OfSource(0, 1)],
                [new(circuit.FindNode("b"), 0, 1e6, 100e-12)],
                [],
                levels,
                []
            )
        );
        var admittance = new Complex(2e-5 + 1e-6, 2 * Math.PI * 1e4 * 100e-12);
        var expected = 1e-5 / admittance;
        Assert.Equal(expected.Real, levels[0].Real, 1e-9);
        Assert.Equal(expected.Imaginary, levels[0].Imaginary, 1e-9);
    }

    // 1 V through 10 kohm and 100 nF onto 22 kohm.
    [Fact]
    public void Levels_SignalFedIn_DividesBetweenItsOwnImpedanceAndTheNode()
    {
        var (circuit, small) = Solved("V1 a 0 0\nR1 a b 22k\nR2 b c 47k");
        var levels = new Complex[2];
        Assert.True(
            small.Levels(
                100,
                [Excitation.Fed(circuit.FindNode("b"), 0, 1, 10e3, 100e-9)],
                [new(circuit.FindNode("b"), 0), new(circuit.FindNode("c"), 0)],
                [],
                levels,
                []
            )
        );
        var expected = 22e3 / new Complex(32e3, -1 / (2 * Math.PI * 100 * 100e-9));
        Assert.Equal(expected.Real, levels[0].Real, 1e-9);
        Assert.Equal(expected.Imaginary, levels[0].Imaginary, 1e-9);
        Assert.Equal(expected.Real, levels[1].Real, 1e-6);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(1000)]
    [InlineData(1e6)]
    public void Levels_LowPass_HasItsCornerAtOneOverTwoPiRc(double ohms)
    {
        var (circuit, small) = Solved(
            FormattableString.Invariant($"V1 a 0 0\nR1 a b {ohms}\nC1 b 0 10n")
        );
        var corner = 1 / (2 * Math.PI * ohms * 10e-9);
        var levels = new Complex[1];
        Assert.True(
            small.Levels(
                corner,
                [Excitation.OfSource(0, 1)],
                [new(circuit.FindNode("b"), 0)],
                [],
                levels,
                []
            )
        );
        Assert.Equal(Math.Sqrt(0.5), Complex.Abs(levels[0]), 1e-7);
        Assert.Equal(-Math.PI / 4, levels[0].Phase, 1e-7);
    }

    [Fact]
    public void Levels_AfterAChangeWithoutSolve_AreRefused()
    {
        var (_, small) = Solved("V1 a 0 0\nR1 a b 1k\nR2 b 0 1k");
        small.OperatingPoint.Set(1, 2e3);
        Assert.Throws<InvalidOperationException>(() =>
            small.Levels(1000, [], [new(1, 0)], [], new Complex[1], [])
        );
    }

    private static (NetAudit.Circuits.Circuit Circuit, SmallSignalWorkspace Small) Solved(
        string cards
    )
    {
        var circuit = Netlist.Read(cards);
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        Assert.True(workspace.Solve([]).Converged);
        return (circuit, new SmallSignalWorkspace(workspace));
    }
}

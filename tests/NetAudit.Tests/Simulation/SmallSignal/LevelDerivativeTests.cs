using System.Numerics;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using Xunit;

namespace NetAudit.Tests.Simulation.SmallSignal;

/// <summary>Derivatives of levels against central differences of whole solves, operating point included.</summary>
public class LevelDerivativeTests
{
    /// <summary>Every device and element kind, junctions with their charges.</summary>
    internal const string Mixture = """
        .include tubes.lib
        VHT ht 0 250
        VIN in 0 0
        RIN in g 47k
        RG g 0 1Meg
        XV1 p g k 12AX7
        RA ht p 100k
        RK k 0 1.5k
        CK k 0 10u
        CC p q 10n
        RQ q 0 220k
        L1 ht a 5
        L2 s 0 20m
        K1 L1 L2 0.95
        RS s 0 16
        XV2 a q k2 ht EL84
        RK2 k2 0 150
        CK2 k2 0 50u
        VCC vc 0 15
        RB1 vc b 100k
        RB2 b 0 22k
        CB q b 100n
        Q1 c b e QN
        RC vc c 4.7k
        RE e 0 1k
        Q2 e2 c vc2 QP
        RE2 vc vc2 330
        RC2 e2 0 2.2k
        J1 d c sj JN
        RD vc d 2.2k
        RSJ sj 0 4.7k
        M1 dm d sm 0 MN W=100u L=10u
        RDM vc dm 3.3k
        RSM sm 0 2.2k
        D1 dm z DZ
        RZ z 0 10k
        E1 x 0 dm 0 2
        RX x y 1k
        G1 y 0 c 0 1m
        RY y 0 1k
        VS y ys 0
        RYS ys 0 5k
        F1 f 0 VS 2
        RF f 0 1k
        H1 h 0 VS 1k
        RH h f 2k
        CH h 0 1u
        B1 bb 0 V={v(y)^2/10+v(x)}
        RBB bb f 10k
        B2 0 bi I={1m*tanh(v(y)/3)}
        RBI bi 0 1k
        .model QN NPN(IS=1e-14 BF=150 VAF=80 IKF=50m RB=100 RC=2 RE=0.5 ISE=1e-14 NE=1.6 BR=3 CJE=20p CJC=8p TF=2n)
        .model QP PNP(IS=1e-14 BF=100 VAF=60 BR=2)
        .model JN NJF(BETA=1m VTO=-2 LAMBDA=0.01 RD=10 CGS=5p CGD=3p)
        .model MN NMOS(VTO=1.5 KP=100u LAMBDA=0.02 GAMMA=0.4 PHI=0.65 CGSO=1n CGDO=1n CBD=10p CBS=10p)
        .model DZ D(IS=1e-12 N=1.2 RS=5 BV=4.7 IBV=1m CJO=1n TT=1u)
        """;

    [Theory]
    [InlineData(30)]
    [InlineData(1000)]
    [InlineData(20e3)]
    public void Levels_EveryParameterOfEveryKind_DerivativeIsThatOfTheLevel(double frequency)
    {
        var circuit = Netlist.Read(Mixture);
        Check(circuit, _ => 0, frequency, double.PositiveInfinity, 0);
        Check(circuit, _ => 0, frequency, 1e5, 1e-9);
    }

    [Fact]
    public void Levels_WithEdits_DerivativeIsThatOfTheLevel()
    {
        var circuit = Netlist.Read(Mixture);
        Check(
            circuit,
            workspace =>
            {
                workspace.Break(circuit.Pin("RA", "1"), 22e3);
                workspace.Break(circuit.Pin("XV1", "K"), 330);
                workspace.Break(circuit.Pin("CC", "2"), 47e3);
                workspace.Break(circuit.Pin("L1", "1"), 120);
                workspace.Break(circuit.Pin("VCC", "1"), 15);
                workspace.Bridge(circuit.FindNode("q"), circuit.FindNode("b"), 1e6);
                workspace.Bridge(circuit.FindNode("x"), circuit.FindNode("f"), 10e3);
                workspace.Inject(0, circuit.FindNode("b"), 1e-5);
                return 8;
            },
            1000,
            1e6,
            1e-10
        );
    }

    [Theory]
    [InlineData("marram-5.cir", "VIN")]
    [InlineData("marram-20.cir", "VIN")]
    [InlineData("marram-50-a.cir", "VIN1")]
    [InlineData("marram-line.cir", "VIN")]
    public void Levels_OfSample_DerivativeIsThatOfTheLevel(string sample, string source)
    {
        Check(Netlist.Sample(sample), _ => 0, 1000, 1e6, 1e-10, source);
    }

    private static void Check(
        NetAudit.Circuits.Circuit circuit,
        Func<Workspace, int> edit,
        double frequency,
        double loadOhms,
        double loadFarads,
        string source = "VIN"
    )
    {
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        Assert.True(workspace.Solve([]).Converged);
        var healthy = workspace.Volts.ToArray();
        var edits = edit(workspace);
        Assert.True(workspace.Solve(healthy).Converged);
        var start = workspace.Volts.ToArray();
        var probes = circuit
            .Nodes.Where(node => !node.Internal && node.Index > 0)
            .Select(node => new LevelProbe(node.Index, 0, loadOhms, loadFarads))
            .Append(new(circuit.Nodes.Length / 3, circuit.Nodes.Length / 2, loadOhms, loadFarads))
            .ToArray();
        Excitation[] excitations =
        [
            Excitation.OfSource(circuit.FindElement(source), new(0.8, 0.6)),
            Excitation.Fed(probes.Length / 2, 0, 0.1, 1e4, 1e-7),
            Excitation.OfCurrent(0, probes.Length / 3, 1e-5),
        ];
        var columns = Enumerable.Range(0, compiled.Parameters.Length + edits).ToArray();
        var small = new SmallSignalWorkspace(workspace);
        var levels = new Complex[probes.Length];
        var jacobian = new Complex[probes.Length * columns.Length];
        Assert.True(small.Levels(frequency, excitations, probes, columns, levels, jacobian));
        var (up, down) = (new Complex[probes.Length], new Complex[probes.Length]);
        var failures = new List<string>();
        foreach (var column in columns)
        {
            var isEdit = column >= compiled.Parameters.Length;
            var value = isEdit
                ? workspace.EditValue(column - compiled.Parameters.Length)
                : workspace.Get(column);
            var step = value == 0 ? 1e-4 : Math.Abs(value) * 1e-4;
            At(value + step, up);
            At(value - step, down);
            Put(value);
            for (var p = 0; p < probes.Length; p++)
            {
                var expected = (up[p] - down[p]) / 2;
                var actual = jacobian[p * columns.Length + column] * step;
                if (
                    !(
                        Complex.Abs(expected - actual)
                        <= 3e-4 * Complex.Abs(expected) + 2e-8 * (1 + Complex.Abs(levels[p]))
                    )
                )
                {
                    var name = isEdit
                        ? $"edit {column - compiled.Parameters.Length}"
                        : $"{compiled.Parameters[column].Kind} of {circuit.Elements.ElementAtOrDefault(compiled.Parameters[column].Index)?.Name} #{compiled.Parameters[column].Index}";
                    failures.Add(
                        $"{circuit.Nodes[probes[p].Positive].Name} by {name}: {actual:g6} against {expected:g6}, level {levels[p]:g4}"
                    );
                }
            }

            void At(double changed, Complex[] results)
            {
                Put(changed);
                Assert.True(workspace.Solve(start).Converged);
                Assert.True(small.Levels(frequency, excitations, probes, [], results, []));
            }

            void Put(double changed)
            {
                if (isEdit)
                {
                    workspace.SetEdit(column - compiled.Parameters.Length, changed);
                }
                else
                {
                    workspace.Set(column, changed);
                }
            }
        }
        Assert.True(
            failures.Count == 0,
            $"{failures.Count} wrong of {columns.Length * probes.Length}\n"
                + string.Join('\n', failures.Take(30))
        );
    }
}

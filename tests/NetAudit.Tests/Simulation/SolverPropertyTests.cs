using System.Collections.Immutable;
using System.Text;
using CsCheck;
using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>What must hold for every circuit, whatever its numbers.</summary>
public class SolverPropertyTests
{
    private static readonly Gen<int> Seeds = Gen.Int[0, int.MaxValue];

    [Fact]
    public void Solve_LinearCircuit_ObeysSuperpositionAndScaling() =>
        Seeds.Sample(seed =>
        {
            var circuit = RandomLinear(new Random(seed), out var sources);
            var compiled = CompiledCircuit.Compile(circuit);
            var workspace = new Workspace(compiled);
            var sum = new double[circuit.Nodes.Length];
            foreach (var source in sources)
            {
                foreach (var other in sources)
                {
                    var parameter = compiled.FindParameter(ParameterKind.Value, other);
                    var nominal = compiled.Parameters[parameter].Nominal;
                    workspace.Set(parameter, other == source ? 2 * nominal : 0);
                }
                Assert.True(workspace.Solve([]).Converged);
                for (var i = 0; i < sum.Length; i++)
                {
                    sum[i] += workspace.Volts[i];
                }
            }
            workspace.Restore();
            var outcome = workspace.Solve([]);
            Assert.True(outcome.Converged);
            Assert.InRange(outcome.Residual, 0, 1e-10);
            for (var i = 0; i < sum.Length; i++)
            {
                Assert.Equal(sum[i], 2 * workspace.Volts[i], 1e-7 * (1 + Math.Abs(sum[i])));
            }
        });

    [Theory]
    [InlineData("marram-5.cir")]
    [InlineData("marram-20.cir")]
    [InlineData("marram-line.cir")]
    public void Solve_NodesAndElementsInAnotherOrder_GivesTheSamePoint(string sample)
    {
        var circuit = Netlist.Sample(sample);
        var expected = new OperatingPointSolver().Solve(circuit);
        Seeds.Sample(
            seed =>
            {
                var random = new Random(seed);
                var shuffled = Shuffle(circuit, random, out var newNode);
                var point = new OperatingPointSolver().Solve(shuffled);
                Assert.True(point.Converged);
                for (var i = 0; i < newNode.Length; i++)
                {
                    var volts = expected.NodeVolts[i];
                    Assert.Equal(volts, point.NodeVolts[newNode[i]], 2e-6 * (1 + Math.Abs(volts)));
                }
            },
            iter: 20
        );
    }

    [Fact]
    public void Solve_EqualCalls_GiveEqualBits()
    {
        var circuit = Netlist.Sample("marram-20.cir");
        var first = new OperatingPointSolver().Solve(circuit);
        for (var i = 0; i < 30; i++)
        {
            // Long enough that the laws go from interpreted to machine code on the way.
            var again = new OperatingPointSolver().Solve(circuit);
            Assert.Equal(
                first.NodeVolts.Select(BitConverter.DoubleToInt64Bits),
                again.NodeVolts.Select(BitConverter.DoubleToInt64Bits)
            );
        }
    }

    [Fact]
    public void SolveAndRead_AfterWarmUp_AllocateNothing()
    {
        var circuit = Netlist.Sample("marram-20.cir");
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        workspace.Solve([]);
        var start = workspace.Volts.ToArray();
        var probes = circuit.Nodes.Skip(1).Select(node => new Probe(node.Index, 0, 1e7)).ToArray();
        var columns = Enumerable.Range(0, compiled.Parameters.Length).ToArray();
        var readings = new double[probes.Length];
        var jacobian = new double[probes.Length * columns.Length];
        var pin = circuit.Pin("XV1A", "P");
        for (var i = 0; i < 150; i++)
        {
            Once(i);
        }
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 20; i++)
        {
            Once(i);
        }
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());

        void Once(int i)
        {
            workspace.Restore();
            workspace.Break(pin, 1e3 * (i + 1));
            workspace.Bridge(3, 5, 1e5);
            workspace.Solve(start);
            workspace.Read(probes, columns, readings, jacobian);
        }
    }

    [Fact]
    public void Solve_NodeWithoutPath_IsNamedBeforeTheSolve()
    {
        var point = Netlist.Solve("V1 a 0 5\nR1 a 0 1k\nC1 a fb 1u\nR2 fb fc 1k");
        var note = Assert.Single(point.Notes);
        Assert.Contains("fb, fc", note, StringComparison.Ordinal);
    }

    [Fact]
    public void Solve_Cancelled_Stops() =>
        Assert.Throws<OperationCanceledException>(() =>
            new OperatingPointSolver().Solve(
                Netlist.Sample("marram-5.cir"),
                new CancellationToken(canceled: true)
            )
        );

    private static Circuit RandomLinear(Random random, out ImmutableArray<int> sources)
    {
        var cards = new StringBuilder();
        var nodes = random.Next(2, 12);
        for (var i = 1; i <= nodes; i++)
        {
            cards.AppendLine(FormattableString.Invariant($"RT{i} n{i} n{random.Next(i)} {Ohms()}"));
        }
        for (var i = 0; i < nodes; i++)
        {
            cards.AppendLine(
                FormattableString.Invariant(
                    $"RX{i} n{random.Next(nodes + 1)} n{random.Next(nodes + 1)} {Ohms()}"
                )
            );
        }
        cards.AppendLine(FormattableString.Invariant($"V1 n1 q {random.NextDouble() * 9 + 1}"));
        cards.AppendLine(FormattableString.Invariant($"RQ q 0 {Ohms()}"));
        cards.AppendLine(FormattableString.Invariant($"V2 s 0 {random.NextDouble() * 9 + 1}"));
        cards.AppendLine(
            FormattableString.Invariant($"RS s n{random.Next(1, nodes + 1)} {Ohms()}")
        );
        cards.AppendLine(
            FormattableString.Invariant($"I1 0 n{nodes} {random.NextDouble() * 1e-3}")
        );
        cards.AppendLine(
            FormattableString.Invariant($"G1 n1 0 s n{nodes} {random.NextDouble() * 1e-5}")
        );
        cards.AppendLine(FormattableString.Invariant($"E1 w 0 n1 0 0.3"));
        cards.AppendLine(
            FormattableString.Invariant($"RW w n{random.Next(1, nodes + 1)} {Ohms()}")
        );
        var circuit = Netlist.Read(cards.ToString().Replace("n0 ", "0 ", StringComparison.Ordinal));
        sources = [circuit.FindElement("V1"), circuit.FindElement("V2"), circuit.FindElement("I1")];
        return circuit;

        double Ohms() => Math.Pow(10, 2 + 4 * random.NextDouble());
    }

    // Renumbers nodes (chassis stays) and pins stay; elements change places, so that indices of controlling elements follow.
    private static Circuit Shuffle(Circuit circuit, Random random, out int[] newNode)
    {
        var nodes = Enumerable.Range(1, circuit.Nodes.Length - 1).ToArray();
        random.Shuffle(nodes);
        int[] oldOf = [0, .. nodes];
        var map = new int[oldOf.Length];
        for (var i = 0; i < oldOf.Length; i++)
        {
            map[oldOf[i]] = i;
        }
        newNode = map;
        var elements = circuit.Elements.Where(element => element is not Coupling).ToArray();
        random.Shuffle(elements);
        return circuit with
        {
            Hints = [],
            Nodes = [.. oldOf.Select((old, i) => circuit.Nodes[old] with { Index = i })],
            Pins = [.. circuit.Pins.Select(pin => pin with { Node = map[pin.Node] })],
            Elements = [.. elements.Select(Renumber)],
        };

        Terminal Moved(Terminal terminal) => terminal with { Node = map[terminal.Node] };

        Element Renumber(Element element) =>
            element switch
            {
                BehaviouralSource source => source with
                {
                    Terminals = [.. source.Terminals.Select(Moved)],
                    ControlVoltages =
                    [
                        .. source.ControlVoltages.Select(pair =>
                            (Moved(pair.Positive), Moved(pair.Negative))
                        ),
                    ],
                },
                _ => element with { Terminals = [.. element.Terminals.Select(Moved)] },
            };
    }

    // A source that sees its own output: v(out) = g (v(out) - v(in)), so v(out) = -k v(in) with k = g / (1 - g), and the divider gives
    // v(in) = 1 / (2 + k). The coefficient of v(out) is 1 - g, small against its row.
    [Theory]
    [InlineData(0.5)]
    [InlineData(0.999)]
    [InlineData(0.999999)]
    public void Solve_SourceFedBackOnItself_IsSolvedThoughItsPivotIsSmall(double gain)
    {
        var cards = FormattableString.Invariant(
            $"V1 a 0 1\nR1 a in 1k\nR2 in out 1k\nE1 out 0 out in {gain}"
        );
        var circuit = Netlist.Read(cards);

        var point = Netlist.Solve(cards);

        var k = gain / (1 - gain);
        Assert.Equal(1 / (2 + k), point.Volts(circuit, "in"), 1e-9);
        Assert.Equal(-k / (2 + k), point.Volts(circuit, "out"), 1e-9);
    }

    // With a gain of exactly one the equation is 0 = -v(in): the pivot that the structure suggests is gone, yet the circuit is regular.
    // 1 mA flows from a to in, all of it through R2, so v(out) = -1.
    [Fact]
    public void Solve_SourceFedBackWithGainOfOne_IsSolvedByOtherPivots()
    {
        const string cards = "V1 a 0 1\nR1 a in 1k\nR2 in out 1k\nE1 out 0 out in 1";
        var circuit = Netlist.Read(cards);

        var point = Netlist.Solve(cards);

        Assert.Equal(0, point.Volts(circuit, "in"), 1e-9);
        Assert.Equal(-1, point.Volts(circuit, "out"), 1e-9);
    }
}

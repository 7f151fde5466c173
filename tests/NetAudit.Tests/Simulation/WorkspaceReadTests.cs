using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>Meters are read in blocks, and what one call has worked out serves the next: the numbers must not show it.</summary>
public class WorkspaceReadTests
{
    // Draws enough to move high-impedance nodes far.
    private const double HeavyLoadOhms = 1e6;

    [Fact]
    public void Read_EachProbeAlone_IsAsInAList()
    {
        var workspace = Solved(out var probes, out var columns);
        var (readings, jacobian) = Read(workspace, probes, columns);
        for (var p = 0; p < probes.Length; p++)
        {
            var (alone, row) = Read(workspace, probes[p..(p + 1)], columns);

            Assert.Equal(readings[p], alone[0], 1e-7);
            for (var column = 0; column < columns.Length; column++)
            {
                var expected = jacobian[p * columns.Length + column];
                var tolerance = 1e-15 + 1e-6 * Math.Abs(expected);
                Assert.InRange(row[column], expected - tolerance, expected + tolerance);
            }
        }
    }

    [Fact]
    public void Read_WithoutColumns_ReadingsAreTheSame()
    {
        var workspace = Solved(out var probes, out var columns);
        var (readings, _) = Read(workspace, probes, columns);
        var means = new double[probes.Length];

        workspace.Read(probes, [], means, []);

        Assert.Equal(readings, means);
    }

    [Fact]
    public void Read_DerivativesOfWhatWasReadBefore_AreThoseReadAtOnce()
    {
        var (expected, slopes) = Read(Solved(out var probes, out var columns), probes, columns);
        var workspace = Solved(out _, out _);
        workspace.Read(probes, [], new double[probes.Length], []);

        var (readings, jacobian) = Read(workspace, probes, columns);

        AssertNear(expected, readings);
        for (var i = 0; i < slopes.Length; i++)
        {
            var tolerance = 1e-15 + 1e-5 * Math.Abs(slopes[i]);
            Assert.InRange(jacobian[i], slopes[i] - tolerance, slopes[i] + tolerance);
        }
    }

    [Fact]
    public void Read_AfterAnotherSolve_ForgetsWhereMetersMovedTheCircuit()
    {
        var fresh = Solved(out var probes, out var columns);
        var used = Solved(out _, out _);
        Read(used, probes, columns);
        var parameters = fresh.Circuit.Parameters;
        var supply = columns.First(c => parameters[c].Nominal == 330);
        foreach (var workspace in (Workspace[])[fresh, used])
        {
            workspace.Set(supply, 300);
            Assert.True(workspace.Solve([]).Converged);
        }

        AssertNear(Read(fresh, probes, columns).Readings, Read(used, probes, columns).Readings);
    }

    [Fact]
    public void Read_PointThatOnlyTheMeterHolds_IsTheSolutionWithItsResistance()
    {
        // Without its zener current the regulator starves, and each meter decides what still conducts: plain Newton goes round in circles.
        var amplifier = AmplifierReader
            .Read(Repository.File("sample-circuits/marram-line.cir"))
            .Amplifier!;
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var workspace = new Workspace(compiled);
        var element = amplifier.Circuit.FindElement("R22");
        var r22 = compiled.FindParameter(ParameterKind.Value, element);
        workspace.Set(r22, 1e10);
        Assert.True(workspace.Solve([]).Converged);
        var start = workspace.Volts.ToArray();
        Probe[] probes =
        [
            .. Enumerable.Range(1, start.Length - 1).Select(n => new Probe(n, 0, 1e7)),
        ];
        int[] columns = [r22];
        var (readings, jacobian) = Read(workspace, probes, columns);

        Assert.Equal(start, workspace.Volts.ToArray(), (x, y) => Math.Abs(x - y) < 1e-9);
        for (var p = 0; p < probes.Length; p++)
        {
            Assert.True(double.IsFinite(jacobian[p]));
            workspace.Restore();
            workspace.Set(r22, 1e10);
            workspace.Bridge(probes[p].Positive, 0, probes[p].LoadOhms);
            Assert.True(workspace.Solve(start).Converged);
            Assert.Equal(workspace.Volts[probes[p].Positive], readings[p], 1e-3);
        }
    }

    [Fact]
    public void Read_HeavyLoad_IsTheSolutionWithThatResistance()
    {
        var workspace = Solved(out var probes, out _);
        var start = workspace.Volts.ToArray();
        var readings = new double[probes.Length];
        workspace.Read(probes, [], readings, []);
        for (var p = 0; p < probes.Length; p++)
        {
            workspace.Restore();
            if (!double.IsInfinity(probes[p].LoadOhms))
            {
                workspace.Bridge(probes[p].Positive, probes[p].Negative, probes[p].LoadOhms);
            }
            Assert.True(workspace.Solve(start).Converged);
            var expected =
                workspace.Volts[probes[p].Positive] - workspace.Volts[probes[p].Negative];
            // Below the threshold the load's effect is taken as linear.
            var tolerance = 2e-5 + 2e-4 * Math.Abs(expected);
            Assert.InRange(readings[p], expected - tolerance, expected + tolerance);
        }
    }

    /// <summary>A grid whose leak is open hangs near its cathode until a meter pulls it down: no straight line says so.</summary>
    [Fact]
    public void Read_RoughlyAndFar_IsTheSolutionWithTheMeter()
    {
        const string Cards = """
            .include tubes.lib
            VB b 0 320
            RP b p 250
            RS b s 1k
            RK k 0 150
            X1 p g k s EL84

            """;
        var circuit = Netlist.Read(Cards);
        var rough = new Workspace(CompiledCircuit.Compile(circuit)) { IsRough = true };
        var loaded = Netlist.Read(Cards + "RM g 0 10Meg");
        Assert.True(rough.Solve([]).Converged);
        var grid = circuit.FindNode("g");
        double[] reading = [0];
        rough.Read([new Probe(grid, 0, 10e6)], [], reading, []);

        Assert.InRange(rough.Volts[grid], 5, 40);
        Assert.Equal(Netlist.Solve(Cards + "RM g 0 10Meg").Volts(loaded, "g"), reading[0], 1e-3);
    }

    /// <summary>A joint of 1.2 Mohm leaves an emitter less current than the meter draws: the reading falls by far more than its resistance says.</summary>
    [Fact]
    public void Read_StarvedEmitter_IsTheSolutionWithTheMeter()
    {
        const string Cards = """
            V1 p 0 15
            V2 b 0 14
            Q1 0 b e QP
            R1 p e 1.2Meg
            .model QP PNP(IS=2.5e-14 BF=180)

            """;
        var alone = new Workspace(CompiledCircuit.Compile(Netlist.Read(Cards)));
        var loaded = new Workspace(CompiledCircuit.Compile(Netlist.Read(Cards + "RM e 0 10Meg")));
        Assert.True(alone.Solve([]).Converged);
        Assert.True(loaded.Solve([]).Converged);
        var emitter = alone.Circuit.Circuit.Nodes.Single(node => node.Name == "e").Index;
        var readings = new double[1];

        alone.Read([new Probe(emitter, 0, 1e7)], [], readings, []);

        Assert.InRange(alone.Volts[emitter], 14.3, 14.5);
        Assert.Equal(loaded.Volts[emitter], readings[0], 1e-6);
        Assert.InRange(readings[0], 13.3, 13.5);
    }

    [Fact]
    public void Adjoints_AfterRead_AreThoseOfAFreshSolve()
    {
        var workspace = Solved(out var probes, out var columns);
        var nodes = workspace.Volts.Length;
        var (fresh, kept, other) = (
            new double[probes.Length * nodes],
            new double[probes.Length * nodes],
            new double[3 * nodes]
        );
        workspace.Adjoints(probes, fresh);
        var start = workspace.Volts.ToArray();
        Assert.True(workspace.Solve(start).Converged);
        Read(workspace, probes, columns);

        workspace.Adjoints(probes, kept);
        workspace.Adjoints(probes.AsSpan(5, 3), other);

        AssertNear(fresh, kept);
        AssertNear(fresh.AsSpan(5 * nodes, 3 * nodes), other);
    }

    [Fact]
    public void Adjoints_ParameterChangedAndSolved_AreNotTheOldOnes()
    {
        var workspace = Solved(out var probes, out var columns);
        var nodes = workspace.Volts.Length;
        var (before, after) = (
            new double[probes.Length * nodes],
            new double[probes.Length * nodes]
        );
        Read(workspace, probes, columns);
        workspace.Adjoints(probes, before);
        foreach (var column in columns.Where(column => workspace.Get(column) > 1e5))
        {
            workspace.Set(column, workspace.Get(column) / 2);
        }

        Assert.Throws<InvalidOperationException>(() => workspace.Adjoints(probes, after));
        Assert.True(workspace.Solve(workspace.Volts).Converged);
        workspace.Adjoints(probes, after);

        Assert.Contains(
            Enumerable.Range(0, before.Length),
            i => Math.Abs(before[i] - after[i]) > 0.01 * Math.Abs(before[i])
        );
    }

    [Fact]
    public void Read_Again_AllocatesNothing()
    {
        var workspace = Solved(out var probes, out var columns);
        var start = workspace.Volts.ToArray();
        var readings = new double[probes.Length];
        var jacobian = new double[probes.Length * columns.Length];
        var adjoints = new double[probes.Length * start.Length];
        void Work()
        {
            workspace.Solve(start);
            workspace.Read(probes, columns, readings, jacobian);
            workspace.Adjoints(probes, adjoints);
        }
        // Laws become machine code at their hundredth evaluation.
        for (var i = 0; i < 200; i++)
        {
            Work();
        }
        var before = GC.GetAllocatedBytesForCurrentThread();

        Work();

        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
    }

    private static Workspace Solved(out Probe[] probes, out int[] columns)
    {
        var circuit = Netlist.Sample("marram-20.cir");
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        Assert.True(workspace.Solve([]).Converged);
        double[] loads = [double.PositiveInfinity, 1e7, HeavyLoadOhms];
        probes =
        [
            .. circuit
                .Nodes.Where(node => !node.Internal && node.Index > 0)
                .Select(node => new Probe(node.Index, 0, loads[node.Index % loads.Length])),
        ];
        columns = [.. Enumerable.Range(0, workspace.Circuit.Parameters.Length)];
        return workspace;
    }

    private static (double[] Readings, double[] Jacobian) Read(
        Workspace workspace,
        Probe[] probes,
        int[] columns
    )
    {
        var readings = new double[probes.Length];
        var jacobian = new double[probes.Length * columns.Length];
        workspace.Read(probes, columns, readings, jacobian);
        return (readings, jacobian);
    }

    private static void AssertNear(ReadOnlySpan<double> expected, ReadOnlySpan<double> actual)
    {
        for (var i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], actual[i], 1e-6 * Math.Abs(expected[i]) + 1e-9);
        }
    }
}

using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>Derivatives of loaded readings against central differences of whole solves.</summary>
public class WorkspaceDerivativeTests
{
    public static TheoryData<string> Samples =>
        ["marram-5.cir", "marram-20.cir", "marram-50-a.cir", "marram-line.cir"];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Read_EveryParameter_DerivativeIsThatOfTheReading(string sample)
    {
        var circuit = Netlist.Sample(sample);
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        Assert.True(workspace.Solve([]).Converged);
        var start = workspace.Volts.ToArray();
        Check(workspace, start, edits: 0, double.PositiveInfinity, 2e-4);
        // The derivative is taken where the load has moved the circuit to, but with the slopes of where it was.
        Check(workspace, start, edits: 0, 1e7, 1e-2);
    }

    [Theory]
    [MemberData(nameof(Samples))]
    public void Read_WithEdits_DerivativeIsThatOfTheReading(string sample)
    {
        var circuit = Netlist.Sample(sample);
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        Assert.True(workspace.Solve([]).Converged);
        var start = workspace.Volts.ToArray();
        var resistors = circuit.Pins.Where(pin => pin.Owner.StartsWith('R')).ToArray();
        var devices = circuit.Pins.Where(pin => pin.Owner[0] is 'X' or 'Q').ToArray();
        var sources = circuit.Pins.Where(pin => pin.Owner[0] is 'V' or 'L').ToArray();
        workspace.Break(resistors[3].Index, 47e3);
        workspace.Break(devices[0].Index, 1e6);
        workspace.Break(devices[4].Index, 2200);
        workspace.Break(sources[2].Index, 330);
        workspace.Bridge(devices[1].Node, devices[2].Node, 1e5);
        workspace.Inject(0, devices[6].Node, 1e-5);
        Check(workspace, start, edits: 6, double.PositiveInfinity, 2e-4);
        Check(workspace, start, edits: 6, 1e7, 1e-2);
    }

    // A triode whose plate law has two sections: both conduct, one alone at the foot, starved, and with the grid above the cathode.
    [Theory]
    [InlineData(250, -3, 4.7e3)]
    [InlineData(250, -12, 10e3)]
    [InlineData(300, -22, 100)]
    [InlineData(60, 0, 240e3)]
    [InlineData(60, 2, 22e3)]
    public void Read_TriodeOfTwoSections_DerivativeIsThatOfTheReading(
        double supply,
        double bias,
        double load
    )
    {
        var circuit = Netlist.Read(
            FormattableString.Invariant(
                $"""
                .include tubes.lib
                VB b 0 {supply}
                RA b p {load}
                VG c 0 {bias}
                RG c g 1k
                RK k 0 10
                X1 p g k 12AU7
                """
            )
        );
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        Assert.True(workspace.Solve([]).Converged);
        Check(workspace, workspace.Volts.ToArray(), edits: 0, double.PositiveInfinity, 2e-4);
    }

    private static void Check(
        Workspace workspace,
        double[] start,
        int edits,
        double loadOhms,
        double tolerance
    )
    {
        var compiled = workspace.Circuit;
        var nodes = compiled.Circuit.Nodes.Where(node => !node.Internal && node.Index > 0);
        var probes = nodes.Select(node => new Probe(node.Index, 0, loadOhms)).ToArray();
        var columns = Enumerable.Range(0, compiled.Parameters.Length + edits).ToArray();
        Assert.True(workspace.Solve(start).Converged);
        var healthy = workspace.Volts.ToArray();
        var readings = new double[probes.Length];
        var jacobian = new double[probes.Length * columns.Length];
        workspace.Read(probes, columns, readings, jacobian);
        var (up, down) = (new double[probes.Length], new double[probes.Length]);
        var failures = new List<string>();
        foreach (var column in columns)
        {
            var isEdit = column >= compiled.Parameters.Length;
            var value = isEdit
                ? workspace.EditValue(column - compiled.Parameters.Length)
                : workspace.Get(column);
            var step = value == 0 ? 1e-4 : Math.Abs(value) * 1e-4;
            ReadAt(workspace, column, value + step, healthy, probes, up);
            ReadAt(workspace, column, value - step, healthy, probes, down);
            Put(workspace, column, value);
            for (var p = 0; p < probes.Length; p++)
            {
                var expected = (up[p] - down[p]) / 2;
                var actual = jacobian[p * columns.Length + column] * step;
                if (
                    Math.Abs(expected - actual)
                    > tolerance * Math.Abs(expected) + 2e-8 * (1 + Math.Abs(readings[p]))
                )
                {
                    var name = isEdit
                        ? $"edit {column - compiled.Parameters.Length}"
                        : $"{compiled.Parameters[column].Kind} of {compiled.Circuit.Elements.ElementAtOrDefault(compiled.Parameters[column].Index)?.Name} #{compiled.Parameters[column].Index}";
                    failures.Add(
                        $"{compiled.Circuit.Nodes[probes[p].Positive].Name} by {name}: {actual:g6} against {expected:g6}"
                    );
                }
            }
        }
        Assert.True(
            failures.Count == 0,
            $"{failures.Count} wrong\n" + string.Join('\n', failures.Take(30))
        );
    }

    private static void Put(Workspace workspace, int column, double value)
    {
        var parameters = workspace.Circuit.Parameters.Length;
        if (column < parameters)
        {
            workspace.Set(column, value);
        }
        else
        {
            workspace.SetEdit(column - parameters, value);
        }
    }

    private static void ReadAt(
        Workspace workspace,
        int column,
        double value,
        double[] start,
        Probe[] probes,
        double[] readings
    )
    {
        Put(workspace, column, value);
        Assert.True(workspace.Solve(start).Converged);
        workspace.Read(probes, [], readings, []);
    }
}

using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation.Supplies;

public class SupplySolveTests
{
    private static readonly CompiledCircuit Compiled = CompiledCircuit.Compile(
        SupplyCircuit.Read().Circuit
    );

    [Fact]
    public void Solve_RectifierSupplies_GivesSensibleRails()
    {
        var workspace = new Workspace(Compiled);
        var outcome = workspace.Solve([]);
        Assert.True(outcome.Converged);
        Assert.Equal(SolveStrategy.Newton, outcome.Strategy);
        Assert.InRange(outcome.Residual, 0, 1e-9);
        // Between the RMS and the peak of 250 V; minus the peak of 50 V less the drop in 1.2 kΩ of pulses.
        Assert.InRange(Volts(workspace, "b1"), 250, 330);
        Assert.InRange(Volts(workspace, "n1"), -65, -55);
        // What the supply gives is what the source's resistor carries.
        var amps = (Volts(workspace, "ht") - Volts(workspace, "h1")) / 60;
        var source = Compiled.Circuit.FindElement("VHT");
        Assert.Equal(-amps, workspace.BranchAmps(source), 1e-9);
    }

    [Fact]
    public void Read_EveryParameter_SlopeIsTheFiniteDifference() => Check(_ => { }, 0);

    [Fact]
    public void Read_DeadRectifierAndDriedReservoir_SlopeIsTheFiniteDifference() =>
        Check(
            w =>
            {
                Set(w, ParameterKind.SecondRectifier, "VHT", 0.02);
                Set(w, ParameterKind.Value, "C1", 4e-6);
                Set(w, ParameterKind.Strength, "VNEG", 0.5);
            },
            0
        );

    [Fact]
    public void Read_JointsOfSupplyFuseAndReservoir_SlopeIsTheFiniteDifference() =>
        Check(
            w =>
            {
                w.Break(Pin("VHT", 0), 33);
                w.Break(Pin("RFUSE", 1), 120);
                w.Break(Pin("C1", 0), 15);
            },
            3
        );

    [Fact]
    public void Solve_StandbyBeforeTheReservoir_LeavesTheMeanOfTheSine()
    {
        var workspace = new Workspace(Compiled);
        Set(workspace, ParameterKind.Value, "RFUSE", double.PositiveInfinity);
        Assert.True(workspace.Solve([]).Converged);
        Assert.Equal(250 * 2 * Math.Sqrt(2) / Math.PI, Volts(workspace, "h1"), 1.0);
        Assert.InRange(Volts(workspace, "b1"), -5, 1);
        // A meter does not bring it down.
        var node = Compiled.Circuit.FindNode("h1");
        var reading = new double[1];
        workspace.Read([new Probe(node, 0, 10e6)], [], reading, []);
        Assert.Equal(Volts(workspace, "h1"), reading[0], 0.1);
    }

    [Fact]
    public void Solve_MainsOff_NothingFlows()
    {
        var workspace = new Workspace(Compiled);
        Set(workspace, ParameterKind.Value, "VHT", 0);
        Set(workspace, ParameterKind.Value, "VNEG", 0);
        Assert.True(workspace.Solve([]).Converged);
        foreach (var source in new[] { "VHT", "VNEG" })
        {
            Assert.Equal(0, workspace.BranchAmps(Compiled.Circuit.FindElement(source)));
        }
        Assert.InRange(Volts(workspace, "b1"), -5, 5);
    }

    // Each fault as it is in life: which way the rails go.
    [Fact]
    public void Solve_SupplyFaults_ShiftTheRails()
    {
        double Rail(Action<Workspace> fault)
        {
            var workspace = new Workspace(Compiled);
            fault(workspace);
            Assert.True(workspace.Solve([]).Converged);
            return Volts(workspace, "b1");
        }
        var healthy = Rail(_ => { });
        var dead = Rail(w => Set(w, ParameterKind.FirstRectifier, "VHT", 1e-9));
        var dried = Rail(w => Set(w, ParameterKind.Value, "C1", 2e-6));
        var open = Rail(w => Set(w, ParameterKind.Value, "C1", 47e-12));
        var weak = Rail(w => Set(w, ParameterKind.Strength, "VHT", 0.3));
        var low = Rail(w => Set(w, ParameterKind.Value, "VHT", 200));
        Assert.InRange(dead, 0.75 * healthy, 0.95 * healthy);
        Assert.InRange(dried, 0.75 * healthy, 0.99 * healthy);
        Assert.InRange(open, 0.6 * healthy, dried);
        Assert.InRange(weak, 0.75 * healthy, 0.98 * healthy);
        Assert.InRange(low, 0.75 * healthy, 0.85 * healthy);
    }

    private static void Check(Action<Workspace> prepare, int edits)
    {
        string[] names = ["ht", "b1", "b2", "p1", "k1", "n1", "g1"];
        Probe[] probes =
        [
            .. names.Select(n => new Probe(
                Compiled.Circuit.FindNode(n),
                0,
                double.PositiveInfinity
            )),
        ];
        var count = Compiled.Parameters.Length;
        int[] columns = [.. Enumerable.Range(0, count + edits)];
        var workspace = new Workspace(Compiled);
        prepare(workspace);
        Assert.True(workspace.Solve([]).Converged);
        var values = new double[probes.Length];
        var slopes = new double[probes.Length * columns.Length];
        workspace.Read(probes, columns, values, slopes);
        var start = workspace.Volts.ToArray();
        var checkedColumns = 0;
        for (var column = 0; column < columns.Length; column++)
        {
            var isEdit = column >= count;
            var nominal = isEdit ? workspace.EditValue(column - count) : workspace.Get(column);
            var step = 1e-4 * (nominal == 0 ? 1 : Math.Abs(nominal));
            if (!isEdit && Compiled.Parameters[column].Kind == ParameterKind.Offset)
            {
                continue;
            }
            double[] At(double value)
            {
                var moved = new Workspace(Compiled);
                prepare(moved);
                if (isEdit)
                {
                    moved.SetEdit(column - count, value);
                }
                else
                {
                    moved.Set(column, value);
                }
                Assert.True(moved.Solve(start).Converged);
                return [.. probes.Select(p => moved.Volts[p.Positive])];
            }
            var (up, down) = (At(nominal + step), At(nominal - step));
            for (var row = 0; row < probes.Length; row++)
            {
                var difference = (up[row] - down[row]) / (2 * step);
                var slope = slopes[row * columns.Length + column];
                var what = isEdit ? $"edit {column - count}" : $"{Compiled.Parameters[column]}";
                // The solver's own error stands in the difference.
                Assert.True(
                    Math.Abs(difference - slope) <= 1e-4 * Math.Abs(difference) + 3e-8 / step,
                    $"{what} at {names[row]}: slope {slope}, difference {difference}"
                );
            }
            checkedColumns++;
        }
        Assert.True(checkedColumns > 20);
    }

    private static int Pin(string element, int terminal) =>
        Compiled.Circuit.Elements[Compiled.Circuit.FindElement(element)].Terminals[terminal].Pin;

    private static double Volts(Workspace workspace, string node) =>
        workspace.Volts[Compiled.Circuit.FindNode(node)];

    private static void Set(
        Workspace workspace,
        ParameterKind kind,
        string element,
        double value
    ) => workspace.Set(Compiled.FindParameter(kind, Compiled.Circuit.FindElement(element)), value);
}

using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using NetAudit.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Simulation.Supplies;

public class RippleTests
{
    private static readonly CompiledCircuit Compiled = CompiledCircuit.Compile(
        SupplyCircuit.Read().Circuit
    );

    private static readonly string[] Names = ["b1", "b2", "p1", "n1", "n2", "g1"];

    private static readonly LevelProbe[] Probes =
    [
        .. Names.Select(name => new LevelProbe(Compiled.Circuit.FindNode(name), 0)),
    ];

    [Fact]
    public void Read_HealthySupply_RipplesAndIsFilteredDownTheRails()
    {
        var volts = Ripple(_ => { }, []).Volts;
        // I/(4 sqrt 3 f C) is a sawtooth's RMS without conduction time: 0.05 A, 50 Hz, 47 uF give 3 V.
        Assert.InRange(volts[0], 1.0, 3.5);
        // 1 kilohm to 47 uF at 100 Hz: a thirtieth.
        Assert.InRange(volts[1] / volts[0], 0.02, 0.05);
        Assert.InRange(volts[4] / volts[3], 1e-4, 1e-2);
    }

    [Fact]
    public void Read_DriedReservoirOrDeadDiode_RipplesMore()
    {
        var healthy = Ripple(_ => { }, []).Volts[0];
        var dried = Ripple(w => Set(w, ParameterKind.Value, "C1", 4.7e-6), []).Volts[0];
        var dead = Ripple(w => Set(w, ParameterKind.FirstRectifier, "VHT", 1e-9), []).Volts[0];
        Assert.InRange(dried / healthy, 5, 12);
        Assert.InRange(dead / healthy, 1.8, 3);
    }

    [Theory]
    [InlineData(1, 47e-6)]
    [InlineData(0.3, 6e-6)]
    public void Read_EveryParameter_SlopeIsTheFiniteDifference(double second, double farads)
    {
        void Prepare(Workspace w)
        {
            Set(w, ParameterKind.SecondRectifier, "VHT", second);
            Set(w, ParameterKind.Value, "C1", farads);
        }
        int[] columns = [.. Enumerable.Range(0, Compiled.Parameters.Length)];
        var (volts, slopes) = Ripple(Prepare, columns);
        foreach (var column in columns)
        {
            var at = Compiled.Parameters[column];
            if (
                at.Kind == ParameterKind.Offset
                || second == 1
                    && at.Kind is ParameterKind.FirstRectifier or ParameterKind.SecondRectifier
            )
            {
                // Where both halves are alike the odd harmonics have a corner.
                continue;
            }
            var workspace = new Workspace(Compiled);
            Prepare(workspace);
            var value = workspace.Get(column);
            var step = 1e-4 * Math.Abs(value);
            var up = Ripple(w => Change(w, value + step), []).Volts;
            var down = Ripple(w => Change(w, value - step), []).Volts;
            for (var row = 0; row < Probes.Length; row++)
            {
                var difference = (up[row] - down[row]) / (2 * step);
                var slope = slopes[row * columns.Length + column];
                Assert.True(
                    Math.Abs(difference - slope)
                        <= 2e-3 * Math.Abs(difference) + 1e-5 * volts[row] / Math.Abs(value),
                    $"{at} at {Names[row]}: slope {slope}, difference {difference}, level {volts[row]}"
                );
            }

            void Change(Workspace w, double x)
            {
                Prepare(w);
                w.Set(column, x);
            }
        }
    }

    private static (double[] Volts, double[] Slopes) Ripple(
        Action<Workspace> prepare,
        int[] columns
    )
    {
        var workspace = new Workspace(Compiled);
        prepare(workspace);
        Assert.True(workspace.Solve([]).Converged);
        var reader = new RippleReader(new SmallSignalWorkspace(workspace));
        var volts = new double[Probes.Length];
        var slopes = new double[Probes.Length * columns.Length];
        Assert.True(reader.Read(Probes, columns, volts, slopes));
        return (volts, slopes);
    }

    private static void Set(
        Workspace workspace,
        ParameterKind kind,
        string element,
        double value
    ) => workspace.Set(Compiled.FindParameter(kind, Compiled.Circuit.FindElement(element)), value);
}

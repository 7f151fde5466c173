using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Tubes;

/// <summary>The bench in the project's own reader and solver.</summary>
internal static class OwnTubeBench
{
    public static IReadOnlyList<TubeCurrents> Measure(
        string type,
        IReadOnlyList<TubeVoltages> voltages
    )
    {
        string[] lines =
        [
            "tube bench",
            ".include tubes.lib",
            .. TubeBenchNetlist.Cards(type),
            ".end",
        ];
        var circuit = CircuitReader
            .ReadText(string.Join('\n', lines), "bench.cir", cancellationToken: Token)
            .Circuit!;
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        var (plate, grid, screen) = (Source("VP"), Source("VG"), Source("VS"));
        var currents = new List<TubeCurrents>();
        foreach (var at in voltages)
        {
            workspace.Set(plate.Parameter, at.Plate);
            workspace.Set(grid.Parameter, at.Grid);
            workspace.Set(screen.Parameter, at.Screen);
            var outcome = workspace.Solve([], Token);
            Assert.True(outcome.Converged, $"{type} {at}");
            currents.Add(
                new(
                    -workspace.BranchAmps(plate.Element),
                    -workspace.BranchAmps(grid.Element),
                    -workspace.BranchAmps(screen.Element) - at.Screen / 1e6
                )
            );
        }
        return currents;

        (int Element, int Parameter) Source(string name)
        {
            var element = circuit.FindElement(name);
            return (element, compiled.FindParameter(ParameterKind.Value, element));
        }
    }

    public static TubeCurrents Measure(string type, TubeVoltages at) =>
        Measure(type, [at]).Single();

    private static CancellationToken Token => TestContext.Current.CancellationToken;
}

using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Simulation;

/// <summary>Circuits of the solver's tests, from netlist text.</summary>
internal static class Netlist
{
    public static Circuit Read(string cards)
    {
        var result = CircuitReader.ReadText("solver test\n" + cards + "\n.end\n", "test.cir");
        Assert.True(
            result.Circuit is not null,
            string.Join('\n', result.Diagnostics.Select(diagnostic => diagnostic.ToString()))
        );
        return result.Circuit;
    }

    public static Circuit Sample(string name) =>
        CircuitReader.ReadFile(Repository.File($"sample-circuits/{name}")).Circuit
        ?? throw new InvalidOperationException($"{name} does not read");

    public static OperatingPoint Solve(string cards)
    {
        var point = new OperatingPointSolver().Solve(Read(cards));
        Assert.True(point.Converged, $"{point.Problem}");
        Assert.InRange(point.Residual, 0, 1e-8);
        return point;
    }

    public static double Volts(this OperatingPoint point, Circuit circuit, string node) =>
        point.NodeVolts[circuit.FindNode(node)];

    public static int Pin(this Circuit circuit, string owner, string name) =>
        circuit
            .Pins.Single(pin =>
                pin.Owner.Equals(owner, StringComparison.OrdinalIgnoreCase)
                && pin.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            )
            .Index;
}

using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Simulation;
using Xunit;

namespace NetAudit.Tests.Tubes;

/// <summary>A stage with each tube, with each pin open and each pair of electrodes shorted: it must still have an operating point.</summary>
public class FaultedStageTests
{
    private const double Supply = 300;

    public static TheoryData<string, double, double> Stages =>
        new()
        {
            { "12AX7", 100e3, 1500 },
            { "12AT7", 22e3, 270 },
            { "12AU7", 22e3, 1000 },
            { "12AY7", 100e3, 2200 },
            { "EL84", 250, 180 },
            { "EL34", 150, 180 },
            { "6V6GT", 250, 330 },
            { "6L6GC", 150, 250 },
            { "KT88", 100, 150 },
            { "6550", 100, 150 },
            { "EF86", 100e3, 1500 },
        };

    [Theory]
    [MemberData(nameof(Stages))]
    public void Stage_WithAnyPinOpen_SettlesBetweenTheRails(
        string type,
        double load,
        double cathode
    )
    {
        var circuit = Stage(type, load, cathode);
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        foreach (var pin in circuit.Pins.Where(pin => pin.Owner == "X1"))
        {
            foreach (var ohms in (double[])[1e3, 1e6, double.PositiveInfinity])
            {
                workspace.Restore();
                workspace.Break(pin.Index, ohms);
                AssertSettles(workspace, $"{type} pin {pin.Name} {ohms}");
            }
        }
    }

    [Theory]
    [MemberData(nameof(Stages))]
    public void Stage_WithAnyTwoElectrodesShorted_SettlesBetweenTheRails(
        string type,
        double load,
        double cathode
    )
    {
        var circuit = Stage(type, load, cathode);
        var workspace = new Workspace(CompiledCircuit.Compile(circuit));
        var nodes = circuit
            .Pins.Where(pin => pin.Owner == "X1")
            .Select(pin => pin.Node)
            .Append(0)
            .ToArray();
        for (var i = 0; i < nodes.Length; i++)
        {
            for (var j = 0; j < i; j++)
            {
                workspace.Restore();
                workspace.Bridge(nodes[i], nodes[j], 0);
                AssertSettles(workspace, $"{type} {nodes[i]} to {nodes[j]}");
            }
        }
    }

    // Worn, dead and more than lively: the emission factor of every current source in the tube.
    [Theory]
    [MemberData(nameof(Stages))]
    public void Stage_WithAnyEmission_SettlesBetweenTheRails(
        string type,
        double load,
        double cathode
    )
    {
        var circuit = Stage(type, load, cathode);
        var compiled = CompiledCircuit.Compile(circuit);
        var workspace = new Workspace(compiled);
        string[] sources = ["X1.BP", "X1.BS"];
        var strengths = sources
            .Select(circuit.FindElement)
            .Where(element => element >= 0)
            .Select(element => compiled.FindParameter(ParameterKind.Strength, element))
            .ToArray();
        var cathodeNode = circuit.FindNode("k");
        var before = double.NegativeInfinity;
        foreach (var emission in (double[])[0, 0.01, 0.3, 1, 2])
        {
            workspace.Restore();
            foreach (var strength in strengths)
            {
                workspace.Set(strength, emission);
            }
            AssertSettles(workspace, $"{type} emission {emission}");
            Assert.True(workspace.Volts[cathodeNode] > before);
            before = workspace.Volts[cathodeNode];
        }
    }

    private static void AssertSettles(Workspace workspace, string fault)
    {
        var outcome = workspace.Solve([], TestContext.Current.CancellationToken);
        Assert.True(outcome.Converged, fault);
        foreach (var volts in workspace.Volts)
        {
            // A floating electrode may charge itself some volts negative.
            Assert.True(volts is > -30 and < Supply + 1, $"{fault}: {volts} V");
        }
    }

    private static Circuit Stage(string type, double load, double cathode)
    {
        var pentode = TubeBenchNetlist.Ports(type) == "P G K S";
        var screen = pentode
            ? FormattableString.Invariant($"RS b s {(type == "EF86" ? 390e3 : 470)}")
            : "";
        FormattableString netlist = $"""
            stage
            .include tubes.lib
            VB h 0 {Supply}
            RH h b 100
            RA b p {load}
            {screen}
            RG g 0 470k
            RK k 0 {cathode}
            X1 p g k {(pentode ? "s " : "")}{type}
            .end
            """;
        var read = CircuitReader.ReadText(
            netlist.ToString(CultureInfo.InvariantCulture),
            "stage.cir",
            cancellationToken: TestContext.Current.CancellationToken
        );
        Assert.True(read.Circuit is not null, string.Join('\n', read.Diagnostics));
        return read.Circuit;
    }
}

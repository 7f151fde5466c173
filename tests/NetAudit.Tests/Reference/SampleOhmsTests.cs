using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;
using NetAudit.Reference.Units;
using NetAudit.Reference.Units.Evidence;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using Xunit;

namespace NetAudit.Tests.Reference;

/// <summary>
/// Resistances of the sample circuits without power, against ngspice with the test current of a meter in the circuit: from 1 nA up to
/// 1 mA, until it finds a tenth of 0.2 V.
/// </summary>
public class SampleOhmsTests
{
    // A junction that bends a reading by less than this is left out of it.
    private const double Fraction = 5e-3;

    [Theory]
    [InlineData("marram-5")]
    [InlineData("marram-20")]
    [InlineData("marram-line")]
    [InlineData("marram-50-a")]
    public void Ohms_OfEveryNode_AreThoseOfNgspicesTestCurrent(string name)
    {
        NgspiceRequirement.Check();
        var netlist = Repository.File($"sample-circuits/{name}.cir");
        var sheet = Repository.File($"sample-circuits/{name}.sheet.toml");
        var amplifier = AmplifierReader.Read(netlist, sheet).Amplifier!;
        var nodes = new UnitMeter(amplifier).Nodes;
        var theirs = BenchMeter.Ohms(new BenchConditions(amplifier).Off(), new([], [], []), nodes);
        Assert.NotNull(theirs);
        var scene = new SceneBuilder(amplifier, CompiledCircuit.Compile(amplifier.Circuit))
            .Find(Condition.Of([new PowerOff()]))
            .Scene!;
        var workspace = new Workspace(scene.Compiled);
        foreach (var (parameter, value) in scene.Settings)
        {
            workspace.Set(parameter, value);
        }
        Assert.True(workspace.Solve([]).Converged);
        var ours = new double[nodes.Length];
        var meter = new Ohmmeter(new(workspace), amplifier.Sheet.Meter.OhmsTestVolts);
        Assert.True(meter.Read([.. nodes.Select(n => new NodePair(n, 0))], [], ours, [], []));
        for (var i = 0; i < nodes.Length; i++)
        {
            var place = amplifier.Circuit.Nodes[nodes[i]].Name;
            if (double.IsInfinity(theirs[i]))
            {
                Assert.True(ours[i] > 0.99 * RowScale.MostOhms, $"{place}: {ours[i]}");
            }
            else
            {
                Assert.True(
                    Math.Abs(ours[i] - theirs[i]) < Fraction * theirs[i] + 1e-3,
                    $"{place}: {ours[i]}, ngspice {theirs[i]} ohms"
                );
            }
        }
    }
}

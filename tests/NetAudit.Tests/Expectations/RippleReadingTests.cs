using NetAudit.Expectations;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;
using NetAudit.Tests.Simulation.Supplies;
using Xunit;

namespace NetAudit.Tests.Expectations;

public class RippleReadingTests
{
    [Fact]
    public void Read_LevelAtARailWithoutSignal_IsItsRipple()
    {
        var amplifier = SupplyCircuit.Read();
        var compiled = CompiledCircuit.Compile(amplifier.Circuit);
        var scenes = new SceneBuilder(amplifier, compiled);
        var scene = scenes.Find(Condition.Of([new SignalLevel(0)])).Scene!;
        var workspace = new Workspace(scene.Compiled);
        Assert.True(workspace.Solve([]).Converged);
        var layout = new PredictorColumns(compiled, true);
        var reader = new SignalReader(
            scene,
            workspace,
            [new Row(ReadingKind.Ac, amplifier.Circuit.FindNode("b1"), 0, 10e6, 0)],
            layout,
            testVolts: 0.2
        );
        var value = new double[1];
        var slopes = new double[layout.Parameters];
        reader.Read(value, slopes, layout.Parameters, new double[layout.Parameters]);
        Assert.InRange(value[0], 1.0, 3.5);
        // More reservoir, less ripple: about in proportion.
        var farads = compiled.FindParameter(
            ParameterKind.Value,
            amplifier.Circuit.FindElement("C1")
        );
        Assert.Equal(-value[0] / 47e-6, slopes[layout.ColumnOf[farads]], 0.2 * value[0] / 47e-6);
    }
}

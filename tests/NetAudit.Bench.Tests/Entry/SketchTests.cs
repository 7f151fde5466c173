using NetAudit.Bench.Circuits;
using NetAudit.Bench.Sketches;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Entry;

/// <summary>Every stage of every sample is placed so that it can be read.</summary>
public sealed class SketchTests
{
    [Theory]
    [InlineData("marram-5")]
    [InlineData("marram-20")]
    [InlineData("marram-50-a")]
    [InlineData("marram-line")]
    public void EveryStage_IsPlaced_ApartAndWithinThePicture(string name)
    {
        var source = CircuitSource.Take(Repository.File($"sample-circuits/{name}.cir")).Source!;
        using var circuit = new PreparedCircuit(source);

        foreach (var stage in circuit.Amplifier!.Stages)
        {
            var sketch = StageSketch.Of(circuit, stage);

            Spot[] spots =
            [
                .. sketch.Nodes.Select(node => node.At),
                .. sketch.Devices.Select(device => device.At),
            ];
            Assert.All(
                spots,
                spot =>
                {
                    Assert.InRange(spot.X, 20, sketch.Width - 20);
                    Assert.InRange(spot.Y, 20, sketch.Height - 20);
                }
            );
            for (var i = 0; i < spots.Length; i++)
            {
                for (var j = 0; j < i; j++)
                {
                    var (dx, dy) = (spots[i].X - spots[j].X, spots[i].Y - spots[j].Y);
                    Assert.True(Math.Sqrt(dx * dx + dy * dy) > 100, $"{stage.Name}: {i} on {j}");
                }
            }
            Assert.Equal(
                sketch.Parts.Length,
                sketch.Parts.Select(part => (part.From, part.To, part.Bow)).Distinct().Count()
            );
        }
    }

    [Fact]
    public void GainStage_HasItsTubeBetweenGridAndPlate_AndCathodePartsToChassis()
    {
        var source = CircuitSource.Take(Repository.File("sample-circuits/marram-20.cir")).Source!;
        using var circuit = new PreparedCircuit(source);
        var stage = circuit.Amplifier!.Stages[0];

        var sketch = StageSketch.Of(circuit, stage);

        var tube = Assert.Single(sketch.Devices);
        var node = sketch.Nodes.ToDictionary(n => n.Name);
        Assert.Equal(["plate", "grid", "cathode"], tube.Pins.Select(pin => pin.Name));
        Assert.True(node["g1"].At.X < tube.At.X && tube.At.X < node["p1"].At.X);
        Assert.True(node["p1"].At.Y < node["k1"].At.Y);
        Assert.Contains(
            sketch.Parts,
            part =>
                part.IsToChassis && part.Node == node["k1"].At && part.Symbol == Symbol.Capacitor
        );
    }
}

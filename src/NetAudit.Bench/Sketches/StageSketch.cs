using System.Collections.Immutable;
using NetAudit.Bench.Circuits;
using NetAudit.Circuits;
using NetAudit.Expectations;

namespace NetAudit.Bench.Sketches;

/// <summary>How a part of two ends is drawn.</summary>
public enum Symbol
{
    /// <summary>Resistor.</summary>
    Resistor,

    /// <summary>Capacitor.</summary>
    Capacitor,

    /// <summary>Winding.</summary>
    Winding,

    /// <summary>Diode.</summary>
    Diode,

    /// <summary>Source.</summary>
    Source,

    /// <summary>Anything else.</summary>
    Other,
}

/// <summary>A node of the sketch.</summary>
/// <param name="Node">Node index.</param>
/// <param name="Name">What it is called.</param>
/// <param name="Expected">What a healthy unit shows there; null when no probe reaches it.</param>
/// <param name="At">Where it stands.</param>
public sealed record SketchNode(int Node, string Name, ExpectedReading? Expected, Spot At);

/// <summary>A part between two nodes, or between a node and chassis.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Value">Its value.</param>
/// <param name="Symbol">How it is drawn.</param>
/// <param name="Node">The node that it begins at.</param>
/// <param name="From">Where it begins; what hangs to chassis begins below its node.</param>
/// <param name="To">Where it ends.</param>
/// <param name="IsToChassis">True when its end is at chassis.</param>
/// <param name="Bow">How far its middle stands off the straight line: parts side by side.</param>
public sealed record SketchPart(
    string Name,
    string Value,
    Symbol Symbol,
    Spot Node,
    Spot From,
    Spot To,
    bool IsToChassis,
    double Bow
);

/// <summary>A tube section, transistor or other device of more than two ends.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Type">Its type.</param>
/// <param name="At">Where it stands.</param>
/// <param name="Pins">Its ends: what each is called and where it leads; null leads to chassis.</param>
public sealed record SketchDevice(
    string Name,
    string Type,
    Spot At,
    ImmutableArray<(string Name, Spot? To)> Pins
);

/// <summary>A place in the sketch, in units of the picture; down is positive.</summary>
public readonly record struct Spot(double X, double Y);

/// <summary>One stage as a sketch: what is where, signal from left to right, high voltages at the top.</summary>
/// <param name="Nodes">Its nodes.</param>
/// <param name="Parts">Its parts of two ends.</param>
/// <param name="Devices">Its devices.</param>
/// <param name="Width">Width of the picture.</param>
/// <param name="Height">Height of the picture.</param>
public sealed record StageSketch(
    ImmutableArray<SketchNode> Nodes,
    ImmutableArray<SketchPart> Parts,
    ImmutableArray<SketchDevice> Devices,
    double Width,
    double Height
)
{
    /// <summary>Places the parts of a stage.</summary>
    public static StageSketch Of(PreparedCircuit circuit, Stage stage)
    {
        ArgumentNullException.ThrowIfNull(circuit);
        ArgumentNullException.ThrowIfNull(stage);
        var amplifier = circuit.Amplifier!;
        var units = SketchUnits.Of(amplifier, stage).ToArray();
        var layout = new SketchLayout(units, stage.Input, node => circuit.At(node)?.Mean ?? 0);
        var parts = ImmutableArray.CreateBuilder<SketchPart>();
        var devices = ImmutableArray.CreateBuilder<SketchDevice>();
        for (var i = 0; i < units.Length; i++)
        {
            var unit = units[i];
            if (unit.IsDevice)
            {
                devices.Add(
                    new(
                        unit.Name,
                        unit.Value,
                        layout.OfDevice(i),
                        [
                            .. unit.Ends.Select(end =>
                                (end.Name, end.Node > 0 ? layout.OfNode(end.Node) : (Spot?)null)
                            ),
                        ]
                    )
                );
            }
            else if (unit.Ends.Any(end => end.Node > 0))
            {
                var (from, to, isToChassis, bow) = layout.OfPart(i);
                var node = layout.OfNode(unit.Ends.First(end => end.Node > 0).Node);
                parts.Add(
                    new(unit.Name, unit.Value, unit.Symbol, node, from, to, isToChassis, bow)
                );
            }
        }
        return new(
            [
                .. layout.Nodes.Select(node =>
                {
                    var expected = circuit.At(node);
                    return new SketchNode(
                        node,
                        expected?.Point.ShortName(amplifier) ?? amplifier.Circuit.Nodes[node].Name,
                        expected,
                        layout.OfNode(node)
                    );
                }),
            ],
            parts.ToImmutable(),
            devices.ToImmutable(),
            layout.Width,
            layout.Height
        );
    }
}

using NetAudit.Circuits;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Open and resistive joints at pins, and neighbouring pins joined.</summary>
internal static class JointFaults
{
    /// <summary>
    /// Ohms of a short: from a solid bond to a whisker of solder or a collapsed part that still drops some volts
    /// (common practice, no source).
    /// </summary>
    public static ValueRange Short { get; } = ValueRange.Log(0.01, 20, 2);

    /// <summary>Adds both joint faults of a pin that leads into a device of several terminals.</summary>
    public static void Add(
        CatalogueBuilder builder,
        Part part,
        string pinName,
        int pin,
        Direction direction
    )
    {
        var effect = new Alteration(AlterationKind.Break, pin, 0, 1);
        Add(builder, new(part.Name, FaultMode.OpenJoint), part.Class, pinName, direction, effect);
    }

    /// <summary>Adds both joint faults of a pin, with a given effect.</summary>
    public static void Add(
        CatalogueBuilder builder,
        Fault joint,
        PartClass partClass,
        string pinName,
        Direction direction,
        Alteration effect
    )
    {
        builder.Add(
            joint with
            {
                Pin = pinName,
            },
            Rate.Of(partClass, FaultMode.OpenJoint),
            ValueRange.Fixed(CompiledCircuit.OpenResistance),
            direction,
            effect
        );
        builder.Add(
            new(joint.Part, FaultMode.ResistiveJoint, pinName, Unit: "Ω"),
            Rate.Of(partClass, FaultMode.ResistiveJoint),
            ValueRange.Log(300, 1e8, 5),
            direction,
            effect
        );
    }

    /// <summary>Adds the bridge between two neighbouring pins; a pin that the netlist lacks (a heater) is taken at chassis.</summary>
    public static void AddBridge(CatalogueBuilder builder, Part part, PartPin first, PartPin second)
    {
        if (!IsWired(first) || !IsWired(second))
        {
            return;
        }
        var a = Math.Max(0, first.Node);
        var b = Math.Max(0, second.Node);
        if (a == b)
        {
            return;
        }
        var nodes = builder.Circuit.Nodes;
        builder.Add(
            new(
                part.Name,
                FaultMode.Bridged,
                $"{first.Name}-{second.Name}",
                (nodes[a].Name, nodes[b].Name)
            ),
            Rate.Of(part.Class, FaultMode.Bridged),
            Short,
            new(-1, -1, a, b, 1),
            new Alteration(AlterationKind.Bridge, a, b, 1)
        );
    }

    // An unused pin may be joined to its neighbour without harm.
    private static bool IsWired(PartPin pin) =>
        pin.Node >= 0 || pin.Electrode is Electrode.Heater or Electrode.HeaterCentreTap;
}

using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Faults of diodes and transistors, terminal by terminal.</summary>
internal static class SemiconductorFaults
{
    public static void Add(CatalogueBuilder builder, Part part)
    {
        foreach (var index in part.Elements)
        {
            var element = builder.Circuit.Elements[index];
            var strength = builder.Compiled.FindParameter(ParameterKind.Strength, index);
            if (strength < 0)
            {
                continue;
            }
            AddJoints(builder, part, new Direction(strength, -1, -1, -1, -1));
            AddPairs(builder, part);
            if (element is BipolarTransistor)
            {
                AddWeak(builder, part, builder.Compiled.FindParameter(ParameterKind.Gain, index));
            }
        }
    }

    private static void AddJoints(CatalogueBuilder builder, Part part, Direction direction)
    {
        foreach (var pin in part.Pins.Where(p => p.Pin >= 0))
        {
            var effect = new Alteration(AlterationKind.Break, pin.Pin, 0, 1);
            builder.Add(
                new(part.Name, FaultMode.Open, pin.Name),
                Rate.Of(part.Class, FaultMode.Open) / part.Pins.Length,
                ValueRange.Fixed(CompiledCircuit.OpenResistance),
                direction,
                effect
            );
            JointFaults.Add(builder, part, pin.Name, pin.Pin, direction);
        }
    }

    /// <summary>Shorts and leaks between each two terminals.</summary>
    private static void AddPairs(CatalogueBuilder builder, Part part)
    {
        var pins = part.Pins.Where(p => p.Node >= 0).ToArray();
        var pairs = pins.Length * (pins.Length - 1) / 2;
        // One that has failed short often has done so between all three: as often as between any two (common practice, no source).
        var shorts =
            pins is [var first, var second, var third]
            && AddShortThroughout(builder, part, first, second, third)
                ? pairs + 1
                : pairs;
        for (var i = 0; i < pins.Length; i++)
        {
            for (var j = i + 1; j < pins.Length; j++)
            {
                var (a, b) = (pins[i].Node, pins[j].Node);
                if (a == b)
                {
                    continue;
                }
                var at = pairs == 1 ? null : $"{pins[i].Name}-{pins[j].Name}";
                var bridge = new Alteration(AlterationKind.Bridge, a, b, 1);
                var direction = new Direction(-1, -1, a, b, 1);
                builder.Add(
                    new(part.Name, FaultMode.Short, at),
                    Rate.Of(part.Class, FaultMode.Short) / shorts,
                    JointFaults.Short,
                    direction,
                    bridge
                );
                builder.Add(
                    new(part.Name, FaultMode.Leaky, at, Unit: "Ω"),
                    Rate.Of(part.Class, FaultMode.Leaky) / pairs,
                    ValueRange.Log(JointFaults.Short.High, 1e7, 6),
                    direction,
                    bridge
                );
                JointFaults.AddBridge(builder, part, pins[i], pins[j]);
            }
        }
    }

    private static bool AddShortThroughout(
        CatalogueBuilder builder,
        Part part,
        PartPin first,
        PartPin second,
        PartPin third
    )
    {
        if (first.Node == second.Node || second.Node == third.Node || third.Node == first.Node)
        {
            return false;
        }
        builder.Add(
            new(part.Name, FaultMode.Short, $"{first.Name}-{second.Name}-{third.Name}"),
            Rate.Of(part.Class, FaultMode.Short) / 4,
            JointFaults.Short,
            new Direction(-1, -1, first.Node, third.Node, 1),
            new Alteration(AlterationKind.Bridge, first.Node, second.Node, 1),
            new Alteration(AlterationKind.Bridge, second.Node, third.Node, 1)
        );
        return true;
    }

    // Of the middle of what is healthy: one with a fiftieth of its gain left may have begun with half of that.
    private static ValueRange Weakened { get; } = ValueRange.Log(0.01, 0.5, 4);

    private static void AddWeak(CatalogueBuilder builder, Part part, int gain)
    {
        if (gain >= 0)
        {
            builder.Add(
                new(part.Name, FaultMode.Weak, Unit: "×"),
                Rate.Of(part.Class, FaultMode.Weak),
                Weakened,
                new(gain, -1, -1, -1, -1),
                new Alteration(AlterationKind.Parameter, gain, 0, 1)
            );
        }
    }
}

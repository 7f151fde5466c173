using NetAudit.Circuits;
using NetAudit.Circuits.Tubes;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Faults of tubes and their sockets.</summary>
internal static class TubeFaults
{
    /// <summary>Emission of a tube that is not heated, as a factor: none but a trace that keeps the solution unique.</summary>
    private const double ColdEmission = 1e-6;

    public static void Add(CatalogueBuilder builder, Part part)
    {
        var sections = part
            .Sections.Select(s => new Section(builder, s))
            .Where(s => s.Emission.Length > 0)
            .ToArray();
        foreach (var section in sections)
        {
            AddSection(builder, part, section, sections.Length);
            AddJoints(builder, part, section);
        }
        AddEnvelope(builder, part, sections);
        AddBridges(builder, part);
    }

    private static void AddSection(
        CatalogueBuilder builder,
        Part part,
        Section section,
        int sections
    )
    {
        var name = sections == 1 ? part.Name : section.Electrodes.Instance;
        double RateOf(FaultMode mode) => Rate.Of(PartClass.Tube, mode);
        var nodes = section.Electrodes;
        int NodeOf(int pin) => builder.Circuit.Pins[pin].Node;
        builder.Add(
            new(name, FaultMode.Weak, Unit: "×"),
            RateOf(FaultMode.Weak),
            Worn,
            section.Less,
            section.Emit(1)
        );
        builder.Add(
            new(name, FaultMode.Dead),
            RateOf(FaultMode.Dead),
            Cold,
            section.Less,
            section.Emit(1)
        );
        if (nodes.Cathode >= 0 && NodeOf(nodes.Cathode) != 0)
        {
            var cathode = NodeOf(nodes.Cathode);
            builder.Add(
                new(name, FaultMode.HeaterCathodeLeak, Unit: "Ω"),
                RateOf(FaultMode.HeaterCathodeLeak),
                ValueRange.Log(1e3, 3e7, 5),
                new(-1, -1, cathode, 0, 1),
                new Alteration(AlterationKind.Bridge, cathode, 0, 1)
            );
        }
        if (nodes.Grid < 0 || nodes.Plate < 0)
        {
            return;
        }
        var (plate, grid) = (NodeOf(nodes.Plate), NodeOf(nodes.Grid));
        builder.Add(
            new(name, FaultMode.Gassy, Unit: "A"),
            RateOf(FaultMode.Gassy),
            ValueRange.Log(5e-8, 5e-5, 4),
            new(-1, -1, plate, grid, 1, Downhill: false),
            new Alteration(AlterationKind.Inject, plate, grid, 1)
        );
        if (nodes.Cathode >= 0 && NodeOf(nodes.Cathode) != grid)
        {
            var cathode = NodeOf(nodes.Cathode);
            builder.Add(
                new(name, FaultMode.GridCathodeShort),
                RateOf(FaultMode.GridCathodeShort),
                JointFaults.Short,
                new(-1, -1, grid, cathode, 1),
                new Alteration(AlterationKind.Bridge, grid, cathode, 1)
            );
        }
    }

    private static void AddJoints(CatalogueBuilder builder, Part part, Section section)
    {
        foreach (
            var pin in part.Pins.Where(p => p.Pin >= 0 && p.Section == section.Electrodes.Section)
        )
        {
            // Losing the cathode loses the emission; a plate that is cut off hands its current to the screen, where there is one; a
            // floating grid goes either way.
            var direction = pin.Electrode switch
            {
                Electrode.Grid => new Direction(section.GridOffset, -1, -1, -1, 0),
                Electrode.Plate when section.Electrodes.Screen >= 0 => new Direction(
                    -1,
                    -1,
                    builder.Circuit.Pins[section.Electrodes.Screen].Node,
                    pin.Node,
                    0
                ),
                _ => section.Less,
            };
            JointFaults.Add(builder, part, pin.Name, pin.Pin, direction);
        }
    }

    private static void AddEnvelope(CatalogueBuilder builder, Part part, Section[] sections)
    {
        if (sections.Length == 0)
        {
            return;
        }
        Alteration[] all = [.. sections.SelectMany(s => s.Emit(1))];
        var direction = sections[0].Less;
        double RateOf(FaultMode mode) => Rate.Of(PartClass.Tube, mode);
        builder.Add(
            new(part.Name, FaultMode.HeaterOpen),
            RateOf(FaultMode.HeaterOpen),
            Cold,
            direction,
            all
        );
        foreach (var heater in part.Pins.Where(p => p.Electrode == Electrode.Heater))
        {
            builder.Add(
                new(part.Name, FaultMode.OpenJoint, heater.Name),
                RateOf(FaultMode.OpenJoint),
                Cold,
                direction,
                all
            );
        }
        if (sections.Length > 1)
        {
            builder.Add(
                new(part.Name, FaultMode.Dead),
                RateOf(FaultMode.Dead),
                Cold,
                direction,
                all
            );
            builder.Add(
                new(part.Name, FaultMode.Weak, Unit: "×"),
                RateOf(FaultMode.Weak),
                Worn,
                direction,
                all
            );
        }
    }

    private static void AddBridges(CatalogueBuilder builder, Part part)
    {
        var pins = part.Pins;
        for (var i = 0; i + 1 < pins.Length; i++)
        {
            JointFaults.AddBridge(builder, part, pins[i], pins[i + 1]);
        }
    }

    private static ValueRange Worn { get; } = ValueRange.Log(0.08, 0.8, 4);

    private static ValueRange Cold { get; } = ValueRange.Fixed(ColdEmission);

    /// <summary>A section with the solver parameters that stand for its emission and grid offset.</summary>
    private sealed class Section
    {
        public Section(CatalogueBuilder builder, TubeSection electrodes)
        {
            Electrodes = electrodes;
            var sources = TubeSources.Of(builder.Circuit, electrodes);
            Emission =
            [
                .. sources
                    .Emission.Select(e => builder.Compiled.FindParameter(ParameterKind.Strength, e))
                    .Where(p => p >= 0),
            ];
            GridOffset =
                electrodes.Grid < 0
                    ? -1
                    : builder.Compiled.FindParameter(ParameterKind.Offset, electrodes.Grid);
        }

        public TubeSection Electrodes { get; }

        public int[] Emission { get; }

        public int GridOffset { get; }

        public Direction Less =>
            new(Emission[0], Emission.Length > 1 ? Emission[1] : -1, -1, -1, -1);

        public Alteration[] Emit(double factor) =>
            [.. Emission.Select(p => new Alteration(AlterationKind.Parameter, p, 0, factor))];
    }
}

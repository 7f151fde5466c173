using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Diagnosis.Catalogue;

/// <summary>Faults of resistors, capacitors, windings, potentiometers, fuses and contacts.</summary>
internal static class PassiveFaults
{
    /// <summary>
    /// A resistor's value may be too high by up to this factor before it counts as a bad joint or open; a wrong part may be too low by
    /// two decades and its own spread.
    /// </summary>
    private const double DriftFactor = 20;
    private const double WrongPartFactor = 150;

    private const int DriftCells = 7;

    /// <summary>
    /// What is left of a capacitor that is not connected, farads: the stray capacitance from lead to lead, which nobody knows and through
    /// which a high-gain amplifier still passes some signal (common practice, no source). A small capacitor loses most of its value.
    /// </summary>
    private const double LeastStray = 1e-15;
    private const double MostStray = 2e-12;
    private const double MostLeft = 0.05;
    private const int StrayCells = 2;

    /// <summary>An electrolytic that has dried out keeps this much of its value (common practice, no source).</summary>
    private const double LeastDriedOut = 0.01;
    private const double MostDriedOut = 0.5;
    private const int DriedOutCells = 3;

    /// <summary>A bad joint in series with a resistor, up to where it counts as open.</summary>
    private const double MostJointOhms = 3e9;

    private const int JointCells = 3;

    /// <summary>Ohms of a leak: from where a short ends to what no voltage shows any more (common practice, no source).</summary>
    private static ValueRange Leak { get; } = ValueRange.Log(JointFaults.Short.High, 3e8, 8);

    public static void Add(CatalogueBuilder builder, Part part)
    {
        foreach (var index in part.Elements)
        {
            switch (builder.Circuit.Elements[index])
            {
                case Resistor resistor when resistor.Ohms > 0:
                    AddResistor(builder, part, resistor, index);
                    break;
                case Capacitor capacitor:
                    AddCapacitor(builder, part, capacitor, index);
                    break;
                case Inductor winding:
                    AddWinding(builder, part, winding);
                    break;
            }
        }
        if (part.Class == PartClass.Potentiometer)
        {
            foreach (
                var pin in part.Pins.Where(p =>
                    p.Pin >= 0 && builder.Circuit.Pins[p.Pin].Owner == part.Name
                )
            )
            {
                JointFaults.Add(builder, part, pin.Name, pin.Pin, new(-1, -1, pin.Node, 0, 0));
            }
        }
    }

    private static void AddResistor(
        CatalogueBuilder builder,
        Part part,
        Resistor resistor,
        int index
    )
    {
        var parameter = builder.Compiled.FindParameter(ParameterKind.Value, index);
        if (parameter < 0)
        {
            return;
        }
        var name = NameOf(part, resistor);
        var share = 1.0 / part.Elements.Length;
        var direction = new Direction(parameter, -1, -1, -1, 0);
        var open = ValueRange.Fixed(CompiledCircuit.OpenResistance);
        var set = new Alteration(AlterationKind.Parameter, parameter, 0, 1);
        double RateOf(FaultMode mode) => share * Rate.Of(part.Class, mode);
        builder.Add(
            new(name, FaultMode.Open),
            RateOf(FaultMode.Open),
            open,
            direction with
            {
                Sign = 1,
            },
            set
        );
        builder.Add(
            new(name, FaultMode.OpenJoint, "1"),
            Rate.Of(part.Class, FaultMode.OpenJoint),
            open,
            direction with
            {
                Sign = 1,
            },
            set
        );
        builder.Add(
            new(name, FaultMode.OpenJoint, "2"),
            Rate.Of(part.Class, FaultMode.OpenJoint),
            open,
            direction with
            {
                Sign = 1,
            },
            set
        );
        AddShort(builder, name, resistor, RateOf(FaultMode.Short));
        // A resistor of an ohm that a current is read across is as much a part as any other.
        if (part.Class == PartClass.Resistor || resistor.Ohms >= 5)
        {
            var drift = ValueRange.Log(
                resistor.Ohms / WrongPartFactor,
                resistor.Ohms * DriftFactor,
                DriftCells
            ) with
            {
                Nominal = resistor.Ohms,
            };
            builder.Add(
                new(name, FaultMode.Drifted, Unit: "Ω"),
                RateOf(FaultMode.Drifted),
                drift,
                direction,
                set
            );
            builder.Add(
                new(name, FaultMode.WrongValue, Unit: "Ω"),
                RateOf(FaultMode.WrongValue),
                drift,
                direction,
                set
            );
            AddJoint(builder, name, part.Class, drift, direction, set);
            var joint = ValueRange.Log(resistor.Ohms * DriftFactor, MostJointOhms, JointCells);
            AddJoint(builder, name, part.Class, joint, direction with { Sign = 1 }, set);
        }
        else
        {
            // A fuse, a contact or a winding's own resistance: only more of it is a fault. A dirty contact has drifted.
            var resistive = ValueRange.Log(resistor.Ohms + 20, 1e6, 5);
            foreach (var mode in (FaultMode[])[FaultMode.ResistiveJoint, FaultMode.Drifted])
            {
                builder.Add(
                    new(name, mode, Unit: "Ω"),
                    part.Class == PartClass.Contact || mode != FaultMode.Drifted ? RateOf(mode) : 0,
                    resistive,
                    direction with
                    {
                        Sign = 1,
                    },
                    set
                );
            }
        }
    }

    private static void AddJoint(
        CatalogueBuilder builder,
        string name,
        PartClass partClass,
        ValueRange range,
        Direction direction,
        Alteration set
    )
    {
        foreach (var pin in (string[])["1", "2"])
        {
            var joint = new Fault(name, FaultMode.ResistiveJoint, pin, Unit: "Ω");
            builder.Add(joint, Rate.Of(partClass, FaultMode.ResistiveJoint), range, direction, set);
        }
    }

    private static void AddCapacitor(
        CatalogueBuilder builder,
        Part part,
        Capacitor capacitor,
        int index
    )
    {
        var name = NameOf(part, capacitor);
        double RateOf(FaultMode mode) => Rate.Of(part.Class, mode) / part.Elements.Length;
        AddShort(builder, name, capacitor, RateOf(FaultMode.Short));
        AddLeak(builder, name, capacitor, RateOf(FaultMode.Leaky));
        var parameter = builder.Compiled.FindParameter(ParameterKind.Value, index);
        if (parameter < 0 || capacitor.Farads <= 0)
        {
            return;
        }
        var direction = new Direction(parameter, -1, -1, -1, -1);
        var farads = new Alteration(AlterationKind.Parameter, parameter, 0, 1);
        var most = Math.Min(MostStray, MostLeft * capacitor.Farads);
        var open = ValueRange.Log(Math.Min(LeastStray, most / 2), most, StrayCells);
        builder.Add(new(name, FaultMode.Open), RateOf(FaultMode.Open), open, direction, farads);
        builder.Add(
            new(name, FaultMode.DriedOut, Unit: "F"),
            RateOf(FaultMode.DriedOut),
            ValueRange.Log(
                LeastDriedOut * capacitor.Farads,
                MostDriedOut * capacitor.Farads,
                DriedOutCells
            ),
            direction,
            farads
        );
        var pin = capacitor.Terminals[0].Pin;
        foreach (var end in (string[])["1", "2"])
        {
            builder.Add(
                new(name, FaultMode.OpenJoint, end),
                Rate.Of(part.Class, FaultMode.OpenJoint),
                open,
                direction,
                farads
            );
            if (pin >= 0)
            {
                builder.Add(
                    new(name, FaultMode.ResistiveJoint, end, Unit: "Ω"),
                    Rate.Of(part.Class, FaultMode.ResistiveJoint),
                    ValueRange.Log(300, 1e7, 3),
                    direction,
                    new Alteration(AlterationKind.Break, pin, 0, 1)
                );
            }
        }
    }

    private static void AddWinding(CatalogueBuilder builder, Part part, Inductor winding)
    {
        // Both ends of a winding break the same current: the joint at its first pin stands for the winding and either joint.
        var nodes = winding.Terminals;
        if (nodes[0].Pin < 0)
        {
            return;
        }
        var direction = new Direction(-1, -1, nodes[0].Node, nodes[1].Node, 0);
        var effect = new Alteration(AlterationKind.Break, nodes[0].Pin, 0, 1);
        var name = NameOf(part, winding);
        builder.Add(
            new(name, FaultMode.Open),
            Rate.Of(part.Class, FaultMode.Open) / part.Elements.Length,
            ValueRange.Fixed(CompiledCircuit.OpenResistance),
            direction,
            effect
        );
        foreach (var end in (string[])["1", "2"])
        {
            JointFaults.Add(
                builder,
                new(name, FaultMode.OpenJoint),
                part.Class,
                end,
                direction,
                effect
            );
        }
    }

    private static void AddShort(
        CatalogueBuilder builder,
        string name,
        Element element,
        double rate
    )
    {
        var (a, b) = (element.Terminals[0].Node, element.Terminals[1].Node);
        if (a != b)
        {
            builder.Add(
                new(name, FaultMode.Short),
                rate,
                JointFaults.Short,
                new(-1, -1, a, b, 1),
                new Alteration(AlterationKind.Bridge, a, b, 1)
            );
        }
    }

    private static void AddLeak(CatalogueBuilder builder, string name, Element element, double rate)
    {
        var (a, b) = (element.Terminals[0].Node, element.Terminals[1].Node);
        if (a != b)
        {
            builder.Add(
                new(name, FaultMode.Leaky, Unit: "Ω"),
                rate,
                Leak,
                new(-1, -1, a, b, 1),
                new Alteration(AlterationKind.Bridge, a, b, 1)
            );
        }
    }

    // A part that is one element has one name; the elements of a bigger part (a transformer's windings) keep their own.
    private static string NameOf(Part part, Element element) =>
        part.Elements.Length == 1 ? part.Name : element.Name;
}

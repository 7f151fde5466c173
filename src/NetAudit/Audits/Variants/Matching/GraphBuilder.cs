using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;

namespace NetAudit.Audits.Variants.Matching;

/// <summary>Makes the graph of an amplifier.</summary>
internal sealed class GraphBuilder
{
    private readonly Amplifier _amplifier;
    private readonly Dictionary<int, Part> _partOfElement = [];
    private readonly Dictionary<string, (Part Part, TubeSection Section)> _sections = new(
        StringComparer.Ordinal
    );

    private GraphBuilder(Amplifier amplifier)
    {
        _amplifier = amplifier;
        foreach (var part in amplifier.Parts)
        {
            foreach (var element in part.Elements)
            {
                _partOfElement[element] = part;
            }
            foreach (var section in part.Sections)
            {
                _sections[section.Instance] = (part, section);
            }
        }
    }

    public static CircuitGraph Build(Amplifier amplifier) => new GraphBuilder(amplifier).Build();

    private CircuitGraph Build()
    {
        var circuit = _amplifier.Circuit;
        var pins = circuit.Pins.ToLookup(pin => pin.Owner, StringComparer.Ordinal);
        var elementsOf = Enumerable
            .Range(0, circuit.Elements.Length)
            .Where(e => circuit.Elements[e].Device is not null)
            .ToLookup(e => circuit.Elements[e].Device!, StringComparer.Ordinal);
        var units = circuit
            .Elements.Select((element, index) => (element, index))
            // Couplings have no ends; they are compared by the inductors they couple.
            .Where(pair => pair.element is { Device: null } and not Coupling)
            .Select(pair => OfElement(pair.element, pair.index));
        var devices = circuit
            .Instances.Where(instance => instance.IsDevice)
            .Select(instance =>
                OfDevice(instance, [.. pins[instance.Name]], [.. elementsOf[instance.Name]])
            );
        return new([.. units.Concat(devices)], [.. circuit.Nodes.Select(node => node.Name)]);
    }

    private GraphUnit OfElement(Element element, int index)
    {
        var part = _partOfElement.GetValueOrDefault(index);
        var (kind, value, type, key) = Describe(element);
        var alike = element is Resistor or Capacitor or Inductor;
        var ends = element.Terminals.Select(
            (terminal, i) => new UnitEnd(alike ? CircuitGraph.EitherEnd : i + 1, terminal.Node)
        );
        var controls = Controls(element).Select((node, i) => new UnitEnd(100 + i, node));
        return new(
            element.Name,
            part?.Name ?? element.Name,
            part?.Class ?? PartClass.Other,
            kind,
            value,
            type,
            key,
            [.. ends, .. controls]
        );
    }

    private static (string Kind, double Value, string Type, string Key) Describe(Element element) =>
        element switch
        {
            Resistor resistor => ("R", resistor.Ohms, "", ""),
            Capacitor capacitor => ("C", capacitor.Farads, "", ""),
            Inductor inductor => ("L", inductor.Henries, "", ""),
            VoltageSource source => ("V", Size(source.Stimulus), "", ""),
            CurrentSource source => ("I", Size(source.Stimulus), "", ""),
            VoltageControlledSource source => ($"VC {source.Kind}", source.Gain, "", ""),
            CurrentControlledSource source => ($"CC {source.Kind}", source.Gain, "", ""),
            BehaviouralSource source => (
                $"B {source.Kind}",
                double.NaN,
                "",
                source.Law.ToString() ?? ""
            ),
            Diode diode => Semiconductor("D", diode.Model),
            BipolarTransistor transistor => Semiconductor("Q", transistor.Model),
            JunctionFet fet => Semiconductor("J", fet.Model),
            MosFet fet => Semiconductor("M", fet.Model),
            _ => (element.GetType().Name, double.NaN, "", ""),
        };

    private static double Size(Stimulus stimulus) =>
        stimulus.Dc != 0 ? stimulus.Dc : stimulus.AcMagnitude;

    // A model is what its parameters say, not what it is called.
    private static (string, double, string, string) Semiconductor(
        string letter,
        DeviceModel model
    ) =>
        (
            letter + model.Kind,
            double.NaN,
            model.Name,
            string.Join(
                ' ',
                model
                    .Parameters.OrderBy(pair => pair.Key, StringComparer.Ordinal)
                    .Select(pair =>
                        string.Create(CultureInfo.InvariantCulture, $"{pair.Key}={pair.Value:R}")
                    )
            )
        );

    private static IEnumerable<int> Controls(Element element) =>
        element switch
        {
            VoltageControlledSource source => source.Controls.Select(terminal => terminal.Node),
            BehaviouralSource source => source.ControlVoltages.SelectMany(pair =>
                (int[])[pair.Positive.Node, pair.Negative.Node]
            ),
            _ => [],
        };

    private GraphUnit OfDevice(Instance instance, Pin[] pins, int[] elements)
    {
        if (!_sections.TryGetValue(instance.Name, out var tube))
        {
            var part = elements
                .Select(element => _partOfElement.GetValueOrDefault(element))
                .FirstOrDefault(found => found is not null);
            var ohms = elements
                .Select(element => _amplifier.Circuit.Elements[element])
                .OfType<Resistor>()
                .Sum(resistor => resistor.Ohms);
            return new(
                instance.Name,
                part?.Name ?? instance.Name,
                part?.Class ?? PartClass.Other,
                $"device {pins.Length}",
                part?.Class == PartClass.Potentiometer ? ohms : double.NaN,
                instance.Subcircuit,
                instance.Subcircuit.ToUpperInvariant(),
                [.. pins.Select((pin, i) => new UnitEnd(i + 1, pin.Node))]
            );
        }
        var section = tube.Section;
        var roles = pins.Select(pin => Electrode(section, pin.Index)).ToArray();
        var type = tube.Part.TubeType?.Name ?? instance.Subcircuit;
        return new(
            instance.Name,
            tube.Part.Name,
            PartClass.Tube,
            "tube " + string.Join(' ', roles.Order()),
            double.NaN,
            type,
            type.ToUpperInvariant(),
            [.. pins.Select((pin, i) => new UnitEnd(200 + roles[i], pin.Node))]
        );
    }

    private static int Electrode(TubeSection section, int pin) =>
        pin == section.Plate ? 1
        : pin == section.Grid ? 2
        : pin == section.Cathode ? 3
        : pin == section.Screen ? 4
        : 5;
}

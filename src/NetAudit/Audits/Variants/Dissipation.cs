using NetAudit.Circuits;
using NetAudit.Simulation;

namespace NetAudit.Audits.Variants;

/// <summary>
/// Idle dissipation of single units from an operating point. A device's currents follow from Kirchhoff's current law at its nodes, where
/// everything else there has a current of its own; else they are not known.
/// </summary>
internal sealed class Dissipation
{
    private readonly Circuit _circuit;
    private readonly OperatingPoint _point;
    private readonly Dictionary<string, Element> _elements;
    private readonly Dictionary<int, double> _branchAmps;
    private readonly ILookup<int, (Element Element, int Index)> _atNode;
    private readonly ILookup<int, Pin> _pinsAtNode;

    public Dissipation(Circuit circuit, OperatingPoint point)
    {
        _circuit = circuit;
        _point = point;
        _branchAmps = point.BranchAmps.ToDictionary(
            branch => branch.Element,
            branch => branch.Amps
        );
        _elements = circuit
            .Elements.Where(element => element.Device is null)
            .ToDictionary(element => element.Name, StringComparer.Ordinal);
        _atNode = circuit
            .Elements.Select((element, index) => (Element: element, Index: index))
            .Where(pair => pair.Element.Device is null)
            .SelectMany(pair => pair.Element.Terminals.Select(t => (t.Node, pair)))
            .Distinct()
            .ToLookup(entry => entry.Node, entry => entry.pair);
        var devices = circuit
            .Instances.Where(instance => instance.IsDevice)
            .Select(instance => instance.Name)
            .ToHashSet(StringComparer.Ordinal);
        _pinsAtNode = circuit
            .Pins.Where(pin => devices.Contains(pin.Owner))
            .ToLookup(pin => pin.Node);
    }

    /// <summary>Watts, or null when they are not known or the unit makes no heat of its own.</summary>
    public double? Of(VariantUnit unit)
    {
        if (_elements.TryGetValue(unit.Name, out var element))
        {
            return element is Resistor resistor
                ? Volts(element) * Volts(element) / resistor.Ohms
                : null;
        }
        if (unit.Class != PartClass.Tube)
        {
            return null;
        }
        // Power into a device: over its pins, volts against any common point times the current that flows in.
        var watts = 0.0;
        foreach (var pin in _circuit.Pins.Where(pin => pin.Owner == unit.Name && pin.Node != 0))
        {
            if (AmpsInto(pin) is not { } amps)
            {
                return null;
            }
            watts += _point.NodeVolts[pin.Node] * amps;
        }
        return watts;
    }

    private double Volts(Element element) =>
        _point.NodeVolts[element.Terminals[0].Node] - _point.NodeVolts[element.Terminals[1].Node];

    private double? AmpsInto(Pin pin)
    {
        if (_pinsAtNode[pin.Node].Count() > 1)
        {
            return null;
        }
        var amps = 0.0;
        foreach (var (element, index) in _atNode[pin.Node])
        {
            if (AmpsThrough(element, index) is not { } through)
            {
                return null;
            }
            // Positive from the first terminal to the second: it leaves the node at the first.
            amps += element.Terminals[0].Node == pin.Node ? -through : through;
        }
        return amps;
    }

    private double? AmpsThrough(Element element, int index) =>
        element switch
        {
            _ when element.Terminals.Length != 2 => null,
            Capacitor => 0,
            Resistor resistor => Volts(element) / resistor.Ohms,
            _ when _branchAmps.TryGetValue(index, out var amps) => amps,
            _ => null,
        };
}

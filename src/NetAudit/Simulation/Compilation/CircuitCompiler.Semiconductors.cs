using NetAudit.Circuits;
using NetAudit.Simulation.Devices;

namespace NetAudit.Simulation.Compilation;

// Ports, inner nodes, flows and partial derivatives of the semiconductors.
internal sealed partial class CircuitCompiler
{
    private void ListSemiconductor(Element element, int e)
    {
        _parameters.Add(new(ParameterKind.Strength, e, 1));
        var t = element.Terminals;
        switch (element)
        {
            case Diode diode:
                var junction = new DiodeModel(diode.Model, diode.Area, _circuit.Temperature);
                if (junction.BreaksDown)
                {
                    _parameters.Add(new(ParameterKind.Threshold, e, 0));
                }
                AddDevice(junction, e, [Behind(t[0], junction.SeriesConductance), AddPort(t[1])]);
                break;
            case BipolarTransistor transistor:
                _parameters.Add(new(ParameterKind.Gain, e, 1));
                var bipolar = new BipolarModel(
                    transistor.Model,
                    transistor.Area,
                    _circuit.Temperature
                );
                var outerBase = AddPort(t[1]);
                var collector = Behind(t[0], bipolar.CollectorConductance);
                var innerBase = bipolar.HasBaseResistance ? AddInner(outerBase) : outerBase;
                AddDevice(
                    bipolar,
                    e,
                    [collector, innerBase, Behind(t[2], bipolar.EmitterConductance), outerBase]
                );
                // The substrate, chassis unless it is given, leaks to the collector of a vertical transistor (npn) and to the base of a
                // lateral one (pnp).
                _conductances.Add(
                    new(
                        bipolar.IsLateral ? innerBase : collector,
                        AddPort(t.Length > 3 ? t[3] : new Terminal(0, -1)),
                        -1,
                        Topology.Leakage
                    )
                );
                break;
            case JunctionFet transistor:
                _parameters.Add(new(ParameterKind.Threshold, e, 0));
                var field = new JunctionFetModel(
                    transistor.Model,
                    transistor.Area,
                    _circuit.Temperature
                );
                AddDevice(
                    field,
                    e,
                    [
                        Behind(t[0], field.DrainConductance),
                        AddPort(t[1]),
                        Behind(t[2], field.SourceConductance),
                    ]
                );
                break;
            case MosFet transistor:
                _parameters.Add(new(ParameterKind.Threshold, e, 0));
                var mos = new MosFetModel(
                    transistor.Model,
                    transistor.Length,
                    transistor.Width,
                    transistor.Multiplicity,
                    _circuit.Temperature
                );
                AddDevice(
                    mos,
                    e,
                    [
                        Behind(t[0], mos.DrainConductance),
                        AddPort(t[1]),
                        Behind(t[2], mos.SourceConductance),
                        AddPort(t[3]),
                    ]
                );
                break;
        }
    }

    private int AddInner(int outerPort)
    {
        var unknown = AddUnknown(true);
        _innerNodes.Add((unknown, outerPort));
        return AddPort(-1, -1, unknown, unknown);
    }

    // The port behind a series resistance: an inner node, or the terminal itself when there is no resistance.
    private int Behind(Terminal terminal, double siemens)
    {
        var outer = AddPort(terminal);
        if (siemens <= 0)
        {
            return outer;
        }
        var inner = AddInner(outer);
        _conductances.Add(new(outer, inner, -1, siemens));
        return inner;
    }

    private void AddDevice(NonlinearDevice device, int e, ReadOnlySpan<int> ports)
    {
        _semiconductors.Add(
            new(
                device,
                e,
                _inputs.Count,
                ports.Length,
                _flows.Count,
                _partials.Count,
                _junctions,
                _charges
            )
        );
        var firstFlow = _flows.Count;
        _semiconductorElements.Add(e);
        foreach (var port in ports)
        {
            _inputs.Add(port);
        }
        foreach (var (from, to) in device.Flows)
        {
            _flows.Add(new(ports[from], ports[to], e, 1));
        }
        foreach (var (flow, input) in device.Partials)
        {
            _partials.Add((firstFlow + flow, ports[input]));
        }
        _junctions += device.JunctionCount;
        _charges += device.ChargeCount;
    }
}

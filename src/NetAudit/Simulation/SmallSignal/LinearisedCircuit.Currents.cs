using System.Numerics;

namespace NetAudit.Simulation.SmallSignal;

// Currents follow from the volts, stamp by stamp.
internal sealed unsafe partial class LinearisedCircuit
{
    /// <summary>
    /// Current from a pin's node into what the pin belongs to, amperes, under the excitations last solved for. A source without an unknown
    /// current, whose volts are simply known, has none to tell of: 0.
    /// </summary>
    public Complex PinAmps(int pin)
    {
        var links = _frame.Links;
        var sum = Complex.Zero;
        for (var i = 0; i < _t.Conductances.Length; i++)
        {
            ref readonly var conductance = ref _t.Conductances[i];
            var at = links.Conductances.AsSpan(8 * i, 2);
            Add(
                conductance.A,
                conductance.B,
                _frame.Memory.Siemens[i] * (_volts[at[0]] - _volts[at[1]])
            );
        }
        for (var i = 0; i < _t.Capacitances.Length; i++)
        {
            ref readonly var capacitance = ref _t.Capacitances[i];
            var at = links.Capacitances.AsSpan(8 * i, 2);
            var siemens = new Complex(0, _omega * _frame.ElementValue[capacitance.Element]);
            Add(capacitance.A, capacitance.B, siemens * (_volts[at[0]] - _volts[at[1]]));
        }
        for (var i = 0; i < _t.LinearStamps.Length; i++)
        {
            if (IsAt(_t.LinearStamps[i].RowPort))
            {
                sum += _frame.Memory.Linear[i] * _volts[links.LinearColumn[i]];
            }
        }
        for (var flow = 0; flow < _t.Flows.Length; flow++)
        {
            if (IsAt(_t.Flows[flow].From) || IsAt(_t.Flows[flow].To))
            {
                Add(_t.Flows[flow].From, _t.Flows[flow].To, FlowAmps(flow));
            }
        }
        return sum;

        bool IsAt(int port) => _t.Ports[port].Pin == pin;

        void Add(int from, int to, Complex amperes)
        {
            sum += IsAt(from) ? amperes : 0;
            sum -= IsAt(to) ? amperes : 0;
        }
    }

    private Complex FlowAmps(int flow)
    {
        var sum = Complex.Zero;
        foreach (var partial in _t.PartialsOf[flow])
        {
            sum +=
                new Complex(_point.Memory.Partials[partial], _omega * _junctions.Farads[partial])
                * _volts[_frame.Links.PortColumn[_t.Partials[partial].ColumnPort]];
        }
        return sum;
    }
}

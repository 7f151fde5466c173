using NetAudit.Circuits;

namespace NetAudit.Simulation;

// Currents through elements and volts behind joints, at the operating point last solved.
public sealed unsafe partial class Workspace
{
    /// <summary>Makes the currents of the non-linear devices those of the operating point; once before any of the methods below.</summary>
    internal void EvaluateCurrents()
    {
        if (!_solved)
        {
            throw new InvalidOperationException("There is no operating point to read from.");
        }
        Evaluate(_m.V, limit: false);
    }

    /// <summary>Amperes through a resistor from its first terminal to its second, through bad joints at its ends too.</summary>
    internal double ResistorAmps(int element)
    {
        var i = _t.ConductanceOf[element];
        if (i < 0)
        {
            return 0;
        }
        var (a, b) = (_t.Conductances[i].A, _t.Conductances[i].B);
        return _m.Siemens[i] * (_m.V[_links.PortColumn[a]] - _m.V[_links.PortColumn[b]]);
    }

    /// <summary>Ohms of a resistor as it is now, its joints apart.</summary>
    internal double ResistorOhms(int element) =>
        Math.Min(_elementValue[element], CompiledCircuit.OpenResistance);

    /// <summary>
    /// Amperes of a source that is a law, from its first terminal through it to its second; 0 for one that has a voltage output.
    /// </summary>
    internal double LawAmps(int element)
    {
        var flow = _t.FirstFlowOf[element];
        return flow < 0 ? 0 : _m.Flows[flow];
    }

    /// <summary>Amperes that flow into a diode or transistor at a terminal of its card (anode 0, collector 0, base 1, ...).</summary>
    internal double TerminalAmps(int element, int terminal)
    {
        var at = _t.SemiconductorOf[element];
        if (at < 0)
        {
            return 0;
        }
        var instance = _t.Semiconductors[at];
        // A base with a resistance has an inner port 1 and its outer port 3, through which all its current comes.
        var isBaseBehindResistance =
            Circuit.Circuit.Elements[element] is BipolarTransistor
            && terminal == 1
            && _t.InputPorts[instance.FirstInput + 1] != _t.InputPorts[instance.FirstInput + 3];
        var input = isBaseBehindResistance ? 3 : terminal;
        var amps = 0.0;
        var flows = instance.Device.Flows;
        for (var i = 0; i < flows.Length; i++)
        {
            var flow = _m.Flows[instance.FirstFlow + i];
            amps +=
                flows[i].From == input ? flow
                : flows[i].To == input ? -flow
                : 0;
        }
        return amps;
    }

    /// <summary>Volts on a device's side of the joint at a pin.</summary>
    internal double PinVolts(int pin)
    {
        var port = _t.PortOfPin[pin];
        return port < 0 ? VoltsNow(Circuit.Circuit.Pins[pin].Node) : _m.V[_links.PortColumn[port]];
    }
}

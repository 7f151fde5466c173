using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Simulation.Compilation;

// Ports, flow and partial derivatives of a rectifier supply.
internal sealed partial class CircuitCompiler
{
    private void ListSupply(VoltageSource source, RectifierSupply supply, int e)
    {
        _parameters.Add(new(ParameterKind.Value, e, supply.Secondary));
        _parameters.Add(new(ParameterKind.Strength, e, 1));
        _parameters.Add(new(ParameterKind.Winding, e, supply.WindingOhms));
        _parameters.Add(new(ParameterKind.FirstRectifier, e, 1));
        if (supply.Circuit != RectifierCircuit.HalfWave)
        {
            _parameters.Add(new(ParameterKind.SecondRectifier, e, 1));
        }
        var polarity = source.Stimulus.Dc < 0 ? -1 : 1;
        _supplies.Add(new(supply, e, polarity, _inputs.Count, _flows.Count, _partials.Count));
        // Joints of the capacitor and of the resistors are parts of the supply: the inputs are the nodes themselves.
        var (hot, cold) = supply.ReservoirEnds;
        int[] inputs =
        [
            AddPort(new Terminal(hot.Node, -1)),
            AddPort(new Terminal(cold.Node, -1)),
            AddPort(new Terminal(source.Terminals[0].Node, -1)),
            AddPort(new Terminal(source.Terminals[1].Node, -1)),
        ];
        _inputs.AddRange(inputs);
        foreach (var input in inputs)
        {
            _partials.Add((_flows.Count, input));
        }
        _supplyElements.Add(e);
        _flows.Add(
            new(
                AddPort(new Terminal(source.Terminals[1].Node, -1)),
                AddPort(new Terminal(source.Terminals[0].Node, -1)),
                e,
                1
            )
        );
    }
}

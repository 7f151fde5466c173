using NetAudit.Circuits;
using NetAudit.Simulation.Laws;

namespace NetAudit.Simulation.Compilation;

// Ports, flows and partial derivatives of the behavioural sources.
internal sealed partial class CircuitCompiler
{
    // The behavioural sources of one device become one law, so that what they share is computed once.
    private void ListLaws(List<int> elements)
    {
        var firstInput = _inputs.Count;
        var known = new Dictionary<Terminal, int>();
        var knownBranches = new Dictionary<int, int>();
        var sources = new LawSource[elements.Count];
        for (var i = 0; i < sources.Length; i++)
        {
            var source = (BehaviouralSource)_circuit.Elements[elements[i]];
            sources[i] = new(
                source.Law,
                [.. source.ControlVoltages.Select(pair => Input(pair.Positive))],
                [.. source.ControlVoltages.Select(pair => Input(pair.Negative))],
                [.. source.ControlCurrents.Select(Branch)]
            );
        }
        var inputCount = _inputs.Count - firstInput;
        var (law, rawConstants) = LawCompiler.Compile(inputCount, sources, _circuit.Temperature);
        var firstFlow = _flows.Count;
        var firstPartial = _partials.Count;
        foreach (var e in elements)
        {
            var source = (BehaviouralSource)_circuit.Elements[e];
            if (source.Kind == OutputKind.Voltage)
            {
                _flows.Add(new(ListBranch(source, e).Equation, _discardPort, -1, -1));
            }
            else
            {
                _flows.Add(new(AddPort(source.Terminals[0]), AddPort(source.Terminals[1]), e, 1));
            }
        }
        foreach (var (output, input) in law.Partials)
        {
            _partials.Add((firstFlow + output, _inputs[firstInput + input]));
        }
        _laws.Add(
            new(law, law.Prepare(rawConstants), rawConstants, firstInput, firstFlow, firstPartial)
        );

        int Input(Terminal terminal)
        {
            if (terminal is { Node: 0, Pin: < 0 })
            {
                return -1;
            }
            if (!known.TryGetValue(terminal, out var input))
            {
                input = _inputs.Count - firstInput;
                known.Add(terminal, input);
                _inputs.Add(AddControlPort(terminal));
            }
            return input;
        }

        int Branch(int element)
        {
            if (!knownBranches.TryGetValue(element, out var input))
            {
                input = _inputs.Count - firstInput;
                knownBranches.Add(element, input);
                _inputs.Add(AddBranchPort(_branchOf[element]));
            }
            return input;
        }
    }
}

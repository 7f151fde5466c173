using NetAudit.Circuits;

namespace NetAudit.Simulation.Compilation;

// The unknowns: which elements need a branch current and which do without.
internal sealed partial class CircuitCompiler
{
    // Unknown indices must be final before ports are made, so everything that needs one is counted first, in a fixed order: groups of
    // nodes, branch currents, inner nodes of semiconductors.
    private void NumberUnknowns(bool[] isControl)
    {
        _unknowns = _folding.GroupCount - FixedCount;
        for (var i = 0; i < _unknowns; i++)
        {
            _isVoltage.Add(true);
        }
        var definesNode = new bool[_circuit.Nodes.Length];
        for (var e = 0; e < _circuit.Elements.Length; e++)
        {
            var element = _circuit.Elements[e];
            if (HasVoltageOutput(element) && DefinesInnerNode(element, isControl[e], definesNode))
            {
                _equationOf[e] = element.Terminals[0].Node;
                definesNode[element.Terminals[0].Node] = true;
            }
            else if (
                HasVoltageOutput(element)
                || (
                    element is VoltageSource { Supply: null } or Inductor
                    && !_folding.Folded.Contains(e)
                )
            )
            {
                _branchOf[e] = AddUnknown(false);
            }
        }
        // Inner nodes of semiconductors follow; they are added while stamps are listed, after which fixed indices are shifted.
    }

    private int AddUnknown(bool isVoltage)
    {
        _isVoltage.Add(isVoltage);
        return _unknowns++;
    }

    private static bool HasVoltageOutput(Element element) =>
        element switch
        {
            VoltageControlledSource source => source.Kind == OutputKind.Voltage,
            CurrentControlledSource source => source.Kind == OutputKind.Voltage,
            BehaviouralSource source => source.Kind == OutputKind.Voltage,
            _ => false,
        };

    // A source from an inner node of a device to chassis simply states that node's voltage: no branch current is needed.
    private bool DefinesInnerNode(Element element, bool isControl, bool[] definesNode)
    {
        var (positive, negative) = (element.Terminals[0], element.Terminals[1]);
        return !isControl
            && positive.Pin < 0
            && negative is { Pin: < 0, Node: 0 }
            && positive.Node != 0
            && _circuit.Nodes[positive.Node].Internal
            && !definesNode[positive.Node]
            && _folding.ParentElement[positive.Node] < 0
            && !_folding.ParentNode.Contains(positive.Node);
    }
}

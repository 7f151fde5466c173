using NetAudit.Circuits;
using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.Compilation;

// Final indices, and the lookups that the solver works with.
internal sealed partial class CircuitCompiler
{
    private Topology Finish(PivotOrder? order)
    {
        var ports = new Port[_ports.Count];
        for (var i = 0; i < ports.Length; i++)
        {
            var port = _ports[i];
            ports[i] = port with { Column = Final(port.Column), Row = Final(port.Row) };
        }
        for (var node = 0; node < _nodeColumn.Length; node++)
        {
            _nodeColumn[node] = Final(_nodeColumn[node]);
            _nodeRow[node] = Final(_nodeRow[node]);
        }
        _firstNode = new int[_unknowns];
        Array.Fill(_firstNode, -1);
        for (var node = _nodeColumn.Length - 1; node > 0; node--)
        {
            if (_nodeColumn[node] < _unknowns)
            {
                _firstNode[_nodeColumn[node]] = node;
            }
        }
        var isEquation = new bool[_unknowns];
        foreach (var node in _equationOf)
        {
            if (node >= 0)
            {
                isEquation[_nodeColumn[node]] = true;
            }
        }
        var leakage = new List<int>();
        for (var i = 0; i < _unknowns; i++)
        {
            if (_isVoltage[i] && !isEquation[i])
            {
                leakage.Add(i);
            }
        }
        var (isLoose, notes) = ConductivePaths.Find(_circuit);
        var mutuals = MutualInductances();
        var (pattern, program) = StructureAnalysis.Analyse(
            _unknowns,
            ports,
            _conductances,
            _capacitances,
            [
                .. mutuals.Select(pair =>
                    (_inductances[pair.First].Equation, _inductances[pair.Second].Equation)
                ),
            ],
            _linear,
            _flows,
            _partials,
            leakage,
            order
        );
        return new Topology
        {
            IsDynamic = _isDynamic,
            UnknownCount = _unknowns,
            IsVoltage = [.. _isVoltage],
            LeakageUnknowns = [.. leakage],
            LeakageSiemens = [.. leakage.Select(unknown => LeakageAt(unknown, isLoose))],
            FixedCount = FixedCount,
            DiscardedCount = _discarded,
            Folding = _folding,
            NodeColumn = _nodeColumn,
            NodeRow = _nodeRow,
            BranchOf = _branchOf,
            BranchDiagonalOf = _branchDiagonalOf,
            Ports = ports,
            Conductances = [.. _conductances],
            LinearStamps = [.. _linear],
            ConstantStamps = [.. _constants],
            Capacitances = [.. _capacitances],
            Inductances = [.. _inductances],
            MutualInductances = mutuals,
            Laws = [.. _laws],
            Semiconductors = [.. _semiconductors],
            Supplies = [.. _supplies],
            PinOwner = PinOwners(),
            InnerNodes = [.. _innerNodes],
            ControlStamps = [.. _controlStamps],
            InputPorts = [.. _inputs],
            Flows = [.. _flows],
            Partials = [.. _partials],
            JunctionCount = _junctions,
            ChargeCount = _charges,
            FirstFlowOf = ByElement(
                _flows.Count,
                i =>
                    _semiconductorElements.Contains(_flows[i].Element)
                    || _supplyElements.Contains(_flows[i].Element)
                        ? -1
                        : _flows[i].Element
            ),
            FirstLinearOf = ByElement(_linear.Count, i => _linear[i].Element),
            FirstConstantOf = ByElement(_constants.Count, i => _constants[i].Element),
            ConductanceOf = ByElement(_conductances.Count, i => _conductances[i].Element),
            CapacitanceOf = ByElement(_capacitances.Count, i => _capacitances[i].Element),
            InductanceOf = ByElement(_inductances.Count, i => _inductances[i].Element),
            SemiconductorOf = ByElement(_semiconductors.Count, i => _semiconductors[i].Element),
            Pattern = pattern,
            Program = program,
            Notes = notes,
            Contradiction = SourceLoops.FindContradiction(_circuit),
        };
    }

    private MutualInductance[] MutualInductances()
    {
        if (!_isDynamic)
        {
            return [];
        }
        var inductanceOf = ByElement(_inductances.Count, i => _inductances[i].Element);
        return
        [
            .. _circuit
                .Elements.Select((element, e) => (Coupling: element as Coupling, Element: e))
                .Where(pair => pair.Coupling is not null)
                .Select(pair => new MutualInductance(
                    inductanceOf[pair.Coupling!.First],
                    inductanceOf[pair.Coupling.Second],
                    pair.Element
                )),
        ];
    }

    // The first unknowns are the groups of nodes.
    private double LeakageAt(int unknown, bool[] isLoose)
    {
        var node = _firstNode.Length > unknown ? _firstNode[unknown] : -1;
        return node >= 0 && isLoose[node] ? Topology.Leakage : Topology.TraceLeakage;
    }

    private int[] ByElement(int count, Func<int, int> elementOf)
    {
        var first = new int[_circuit.Elements.Length];
        Array.Fill(first, -1);
        for (var i = count - 1; i >= 0; i--)
        {
            if (elementOf(i) is >= 0 and var element)
            {
                first[element] = i;
            }
        }
        return first;
    }

    private int[] PinOwners()
    {
        var owners = new int[_circuit.Pins.Length];
        Array.Fill(owners, -1);
        for (var e = 0; e < _circuit.Elements.Length; e++)
        {
            if (_circuit.Elements[e].Device is null)
            {
                foreach (var terminal in _circuit.Elements[e].Terminals)
                {
                    if (terminal.Pin >= 0)
                    {
                        owners[terminal.Pin] = e;
                    }
                }
            }
        }
        return owners;
    }

    private int Final(int index) => index < 0 ? _unknowns + ~index : index;
}

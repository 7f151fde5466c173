using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation.Devices;
using NetAudit.Simulation.Laws;

namespace NetAudit.Simulation.Compilation;

/// <summary>Turns a circuit into a <see cref="Topology"/>: numbers the unknowns, lists the stamps, orders the elimination.</summary>
internal sealed class CircuitCompiler
{
    private readonly Circuit _circuit;
    private readonly NodeFolding _folding;
    private readonly int[] _nodeColumn;
    private readonly int[] _nodeRow;
    private readonly int[] _equationOf;
    private readonly int[] _branchOf;
    private readonly List<bool> _isVoltage = [];
    private readonly List<Port> _ports = [];
    private readonly List<Conductance> _conductances = [];
    private readonly List<LinearStamp> _linear = [];
    private readonly List<ConstantStamp> _constants = [];
    private readonly List<LawInstance> _laws = [];
    private readonly List<SemiconductorInstance> _semiconductors = [];
    private readonly List<int> _inputs = [];
    private readonly List<Flow> _flows = [];
    private readonly List<(int, int)> _partials = [];
    private readonly List<Parameter> _parameters = [];
    private readonly HashSet<int> _offsetPins = [];
    private readonly List<int> _controlStamps = [];
    private readonly List<(int, int)> _innerNodes = [];
    private readonly HashSet<int> _semiconductorElements = [];
    private int[] _firstNode = [];
    private int _unknowns;
    private int _discarded = 1;
    private int _junctions;
    private int _discardPort;

    private CircuitCompiler(Circuit circuit)
    {
        _circuit = circuit;
        var isControl = new bool[circuit.Elements.Length];
        foreach (var element in circuit.Elements)
        {
            if (element is CurrentControlledSource source)
            {
                isControl[source.Control] = true;
            }
            else if (element is BehaviouralSource behavioural)
            {
                foreach (var control in behavioural.ControlCurrents)
                {
                    isControl[control] = true;
                }
            }
        }
        _folding = NodeFolding.Fold(circuit, isControl);
        _nodeColumn = new int[circuit.Nodes.Length];
        _nodeRow = new int[circuit.Nodes.Length];
        _equationOf = new int[circuit.Elements.Length];
        _branchOf = new int[circuit.Elements.Length];
        Array.Fill(_equationOf, -1);
        Array.Fill(_branchOf, -1);
        NumberUnknowns(isControl);
    }

    public static CompiledCircuit Compile(Circuit circuit)
    {
        var compiler = new CircuitCompiler(circuit);
        compiler.ListStamps();
        return new CompiledCircuit(circuit, compiler.Finish(), [.. compiler._parameters]);
    }

    private int FixedCount => _folding.FixedGroupCount;

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
                || (element is VoltageSource or Inductor && !_folding.Folded.Contains(e))
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

    private void ListStamps()
    {
        // Rows and columns of fixed groups are marked by negative numbers until the number of unknowns is known.
        for (var node = 0; node < _circuit.Nodes.Length; node++)
        {
            var group = _folding.Group[node];
            _nodeColumn[node] = group < FixedCount ? ~group : group - FixedCount;
            _nodeRow[node] = _nodeColumn[node];
        }
        for (var e = 0; e < _circuit.Elements.Length; e++)
        {
            if (_equationOf[e] >= 0)
            {
                // Currents into the node go to a row of their own: the source supplies whatever it takes.
                _nodeRow[_equationOf[e]] = ~(FixedCount + _discarded++);
            }
        }
        _discardPort = AddPort(-1, -1, ~0, ~FixedCount);
        var laws = new Dictionary<string, List<int>>();
        var order = new List<List<int>>();
        for (var e = 0; e < _circuit.Elements.Length; e++)
        {
            var element = _circuit.Elements[e];
            if (element is not BehaviouralSource)
            {
                List(element, e);
                continue;
            }
            AddStrength(element, e);
            if (element.Device is null || !laws.TryGetValue(element.Device, out var group))
            {
                group = [];
                order.Add(group);
                if (element.Device is not null)
                {
                    laws.Add(element.Device, group);
                }
            }
            group.Add(e);
        }
        foreach (var group in order)
        {
            ListLaws(group);
        }
        foreach (var pin in _offsetPins.Order())
        {
            _parameters.Add(new(ParameterKind.Offset, pin, 0));
        }
    }

    private int AddPort(int node, int pin, int column, int row)
    {
        _ports.Add(new(node, pin, column, row));
        return _ports.Count - 1;
    }

    private int AddPort(Terminal terminal) =>
        AddPort(terminal.Node, terminal.Pin, _nodeColumn[terminal.Node], _nodeRow[terminal.Node]);

    private int AddBranchPort(int unknown) => AddPort(-1, -1, unknown, unknown);

    private void List(Element element, int e)
    {
        switch (element)
        {
            case Resistor resistor:
                _parameters.Add(new(ParameterKind.Value, e, resistor.Ohms));
                _conductances.Add(
                    new(AddPort(resistor.Terminals[0]), AddPort(resistor.Terminals[1]), e, 0)
                );
                break;
            case Capacitor capacitor:
                _parameters.Add(new(ParameterKind.Value, e, capacitor.Farads));
                break;
            case Inductor inductor:
                _parameters.Add(new(ParameterKind.Value, e, inductor.Henries));
                if (_branchOf[e] >= 0)
                {
                    ListBranch(element, e);
                }
                break;
            case VoltageSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Stimulus.Dc));
                if (_branchOf[e] >= 0)
                {
                    _constants.Add(new(ListBranch(element, e).Equation, e, -1));
                }
                break;
            case CurrentSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Stimulus.Dc));
                _constants.Add(new(AddPort(element.Terminals[0]), e, 1));
                _constants.Add(new(AddPort(element.Terminals[1]), e, -1));
                break;
            case VoltageControlledSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Gain));
                List(source, e);
                break;
            case CurrentControlledSource source:
                _parameters.Add(new(ParameterKind.Value, e, source.Gain));
                List(source, e);
                break;
            case Diode or BipolarTransistor or JunctionFet or MosFet:
                ListSemiconductor(element, e);
                break;
            default:
                // Couplings do nothing at DC.
                break;
        }
    }

    // Ports and stamps of an element with a voltage between its terminals: its current, if it is an unknown, leaves the first node and
    // enters the second; the equation states the voltage.
    private (int Positive, int Negative, int Equation) ListBranch(Element element, int e)
    {
        var positive = AddPort(element.Terminals[0]);
        var negative = AddPort(element.Terminals[1]);
        int equation;
        if (_branchOf[e] >= 0)
        {
            equation = AddBranchPort(_branchOf[e]);
            Stamp(positive, equation, 1);
            Stamp(negative, equation, -1);
            _linear.Add(new(equation, equation, -1, LoopResistance(element), 0, true));
        }
        else
        {
            var unknown = _nodeColumn[_equationOf[e]];
            equation = AddPort(-1, -1, unknown, unknown);
        }
        Stamp(equation, positive, 1);
        Stamp(equation, negative, -1);
        return (positive, negative, equation);

        void Stamp(int row, int column, double value) =>
            _linear.Add(new(row, column, -1, value, 0, false));
    }

    // Between nodes whose voltages are fixed against each other a current is undetermined: a micro-ohm settles it.
    private double LoopResistance(Element element)
    {
        var a = _folding.Group[element.Terminals[0].Node];
        var b = _folding.Group[element.Terminals[1].Node];
        return a == b || (a < FixedCount && b < FixedCount) ? -1e-6 : 0;
    }

    private void List(VoltageControlledSource source, int e)
    {
        var plus = AddControlPort(source.Controls[0]);
        var minus = AddControlPort(source.Controls[1]);
        if (source.Kind == OutputKind.Voltage)
        {
            var equation = ListBranch(source, e).Equation;
            Stamp(equation, plus, -1);
            Stamp(equation, minus, 1);
            return;
        }
        AddStrength(source, e);
        var from = AddPort(source.Terminals[0]);
        var to = AddPort(source.Terminals[1]);
        Stamp(from, plus, 1);
        Stamp(from, minus, -1);
        Stamp(to, plus, -1);
        Stamp(to, minus, 1);

        void Stamp(int row, int column, double sign)
        {
            if (_ports[column].Pin >= 0)
            {
                _controlStamps.Add(_linear.Count);
            }
            _linear.Add(new(row, column, e, 0, sign, false));
        }
    }

    private void List(CurrentControlledSource source, int e)
    {
        var control = AddBranchPort(_branchOf[source.Control]);
        if (source.Kind == OutputKind.Voltage)
        {
            _linear.Add(new(ListBranch(source, e).Equation, control, e, 0, -1, false));
            return;
        }
        AddStrength(source, e);
        _linear.Add(new(AddPort(source.Terminals[0]), control, e, 0, 1, false));
        _linear.Add(new(AddPort(source.Terminals[1]), control, e, 0, -1, false));
    }

    private int AddControlPort(Terminal terminal)
    {
        if (terminal.Pin >= 0)
        {
            _offsetPins.Add(terminal.Pin);
        }
        return AddPort(terminal);
    }

    private void AddStrength(Element element, int e)
    {
        if (!HasVoltageOutput(element))
        {
            _parameters.Add(new(ParameterKind.Strength, e, 1));
        }
    }

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
        var (law, constants) = LawCompiler.Compile(inputCount, sources, _circuit.Temperature);
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
        _laws.Add(new(law, constants, firstInput, firstFlow, firstPartial));

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
            new(device, e, _inputs.Count, ports.Length, _flows.Count, _partials.Count, _junctions)
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
    }

    private Topology Finish()
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
        var (pattern, program) = StructureAnalysis.Analyse(
            _unknowns,
            ports,
            _conductances,
            _linear,
            _flows,
            _partials,
            leakage
        );
        return new Topology
        {
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
            Ports = ports,
            Conductances = [.. _conductances],
            LinearStamps = [.. _linear],
            ConstantStamps = [.. _constants],
            Laws = [.. _laws],
            Semiconductors = [.. _semiconductors],
            PinOwner = PinOwners(),
            InnerNodes = [.. _innerNodes],
            ControlStamps = [.. _controlStamps],
            InputPorts = [.. _inputs],
            Flows = [.. _flows],
            Partials = [.. _partials],
            JunctionCount = _junctions,
            FirstFlowOf = ByElement(
                _flows.Count,
                i => _semiconductorElements.Contains(_flows[i].Element) ? -1 : _flows[i].Element
            ),
            FirstLinearOf = ByElement(_linear.Count, i => _linear[i].Element),
            FirstConstantOf = ByElement(_constants.Count, i => _constants[i].Element),
            ConductanceOf = ByElement(_conductances.Count, i => _conductances[i].Element),
            SemiconductorOf = ByElement(_semiconductors.Count, i => _semiconductors[i].Element),
            Pattern = pattern,
            Program = program,
            Notes = notes,
        };
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

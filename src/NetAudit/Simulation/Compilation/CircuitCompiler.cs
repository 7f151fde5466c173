using NetAudit.Circuits;
using NetAudit.Simulation.Sparse;

namespace NetAudit.Simulation.Compilation;

/// <summary>Turns a circuit into a <see cref="Topology"/>: numbers the unknowns, lists the stamps, orders the elimination.</summary>
internal sealed partial class CircuitCompiler
{
    private readonly Circuit _circuit;
    private readonly bool _isDynamic;
    private readonly NodeFolding _folding;
    private readonly int[] _nodeColumn;
    private readonly int[] _nodeRow;
    private readonly int[] _equationOf;
    private readonly int[] _branchOf;
    private readonly int[] _branchDiagonalOf;
    private readonly List<bool> _isVoltage = [];
    private readonly List<Port> _ports = [];
    private readonly List<Conductance> _conductances = [];
    private readonly List<LinearStamp> _linear = [];
    private readonly List<ConstantStamp> _constants = [];
    private readonly List<Capacitance> _capacitances = [];
    private readonly List<Inductance> _inductances = [];
    private readonly List<LawInstance> _laws = [];
    private readonly List<SemiconductorInstance> _semiconductors = [];
    private readonly List<SupplyInstance> _supplies = [];
    private readonly List<int> _inputs = [];
    private readonly List<Flow> _flows = [];
    private readonly List<(int, int)> _partials = [];
    private readonly List<Parameter> _parameters = [];
    private readonly HashSet<int> _offsetPins = [];
    private readonly List<int> _controlStamps = [];
    private readonly List<(int, int)> _innerNodes = [];
    private readonly HashSet<int> _semiconductorElements = [];
    private readonly HashSet<int> _supplyElements = [];
    private int[] _firstNode = [];
    private int _unknowns;
    private int _discarded = 1;
    private int _junctions;
    private int _charges;
    private int _discardPort;

    private CircuitCompiler(Circuit circuit, bool isDynamic)
    {
        _circuit = circuit;
        _isDynamic = isDynamic;
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
        _folding = NodeFolding.Fold(circuit, isControl, withInductors: !isDynamic);
        _nodeColumn = new int[circuit.Nodes.Length];
        _nodeRow = new int[circuit.Nodes.Length];
        _equationOf = new int[circuit.Elements.Length];
        _branchOf = new int[circuit.Elements.Length];
        Array.Fill(_equationOf, -1);
        Array.Fill(_branchOf, -1);
        _branchDiagonalOf = [.. _branchOf];
        NumberUnknowns(isControl);
    }

    public static CompiledCircuit Compile(Circuit circuit)
    {
        var compiled = Compile(circuit, null);
        return MayCancelPivots(circuit) && NumericPivots.Find(compiled) is { } order
            ? Compile(circuit, order)
            : compiled;
    }

    /// <param name="circuit">The circuit.</param>
    /// <param name="order">Pivots to use; null for those that the structure suggests.</param>
    private static CompiledCircuit Compile(Circuit circuit, PivotOrder? order)
    {
        var compiler = new CircuitCompiler(circuit, isDynamic: false);
        compiler.ListStamps();
        return new CompiledCircuit(circuit, compiler.Finish(order), [.. compiler._parameters]);
    }

    // Conductances alone cannot: only an equation that sets a voltage by another may take away its own pivot.
    private static bool MayCancelPivots(Circuit circuit) =>
        circuit.Elements.Any(element =>
            element
                is VoltageControlledSource { Kind: OutputKind.Voltage }
                    or CurrentControlledSource { Kind: OutputKind.Voltage }
                    or BehaviouralSource { Kind: OutputKind.Voltage }
        );

    /// <summary>
    /// The structure off DC: each inductor with an unknown current, each capacitor with places in the pattern. Ports aside, everything that
    /// both structures list has the same index in both: conductances, constant stamps, laws, semiconductors, inputs, flows, partials.
    /// </summary>
    public static Topology CompileDynamic(Circuit circuit)
    {
        var compiler = new CircuitCompiler(circuit, isDynamic: true);
        compiler.ListStamps();
        return compiler.Finish(null);
    }

    private int FixedCount => _folding.FixedGroupCount;

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
}

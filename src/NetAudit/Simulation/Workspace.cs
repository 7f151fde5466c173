using NetAudit.Simulation.Compilation;
using NetAudit.Simulation.Sparse;
using NetAudit.Simulation.Supplies;

namespace NetAudit.Simulation;

/// <summary>
/// Solves one compiled circuit over and over, with changed parameters and with edits (broken joints, bridges, injected currents),
/// without compiling again. One per thread; nothing is allocated by <see cref="Solve"/> and <see cref="Read"/> after construction.
/// </summary>
public sealed unsafe partial class Workspace
{
    private readonly Topology _t;
    private readonly EliminationProgram _program;
    private readonly SolverMemory _m;
    private readonly Links _links;
    private readonly Links _healthyLinks;
    private readonly double[] _parameters;
    private readonly double[] _elementValue;
    private readonly double[] _elementStrength;
    private readonly double[] _elementGain;
    private readonly double[] _elementThreshold;
    private readonly double[] _nominalValue;
    private readonly double[] _pinOffset;
    private readonly double[] _volts;
    private bool _stale = true;
    private bool _solved;
    private bool _parametersChanged;

    /// <summary>A workspace at nominal parameters without edits.</summary>
    public Workspace(CompiledCircuit circuit)
        : this(circuit, circuit.Topology, circuit.Plan) { }

    /// <summary>
    /// Whether it only foretells what is worth solving in full: solutions to ten microvolts at one volt, and meters that move it by
    /// less than a tenth taken to find it linear.
    /// </summary>
    internal bool IsRough { get; init; }

    /// <summary>A workspace on one of the circuit's topologies.</summary>
    internal Workspace(CompiledCircuit circuit, Topology topology, DerivativePlan plan)
    {
        Circuit = circuit;
        _t = topology;
        _program = _t.Program;
        _healthyLinks = _t.HealthyLinks;
        _links = new Links(_t);
        _links.CopyFrom(_healthyLinks);
        _parameters = [.. circuit.Parameters.Select(parameter => parameter.Nominal)];
        var elements = circuit.Circuit.Elements.Length;
        _elementValue = new double[elements];
        _elementStrength = new double[elements];
        _elementGain = new double[elements];
        _elementThreshold = new double[elements];
        _elementJoint = new double[elements];
        Array.Fill(_elementStrength, 1);
        Array.Fill(_elementGain, 1);
        foreach (var parameter in circuit.Parameters)
        {
            if (parameter.Kind == ParameterKind.Value)
            {
                _elementValue[parameter.Index] = parameter.Nominal;
            }
        }
        _nominalValue = [.. _elementValue];
        _pinOffset = new double[circuit.Circuit.Pins.Length];
        _volts = new double[circuit.Circuit.Nodes.Length];
        _nodeColumn = [.. _t.NodeColumn];
        _nodeRow = [.. _t.NodeRow];
        _portMoved = new bool[_t.Ports.Length];
        _capacitorSiemens = new double[_t.Capacitances.Length];
        _capacitorAmps = new double[_t.Capacitances.Length];
        _inductorOhms = new double[_t.Inductances.Length];
        _inductorVolts = new double[_t.Inductances.Length];
        _mutualOhms = new double[_t.MutualInductances.Length];
        _plan = plan;
        _foldedDirections = [.. _plan.Reaches.Select(_ => new double[_t.IndexCount])];
        _foldedEntries =
        [
            .. _plan.Reaches.Select(reach =>
                new (int, double)[reach.MostEntries + 2 * Topology.MostPlaces]
            ),
        ];
        _foldedEntryCount = new int[_plan.Reaches.Length];
        _supplies = [.. _t.Supplies.Select(supply => new SupplyElement(supply.Supply))];
        _supplySlopes = new SupplyValues[_supplies.Length];
        _supplyWinding = new double[_supplies.Length];
        _supplyFirst = new double[_supplies.Length];
        _supplySecond = new double[_supplies.Length];
        RestoreSupplies();
        _semiconductorResponses = new double[
            _t.Semiconductors.Length > 0 ? _plan.Rules.Length * MostFlows : 0
        ];
        _m = new SolverMemory(_t, _program);
        for (var i = 0; i < _t.UnknownCount; i++)
        {
            _m.Scale[i] = _t.IsVoltage[i] ? VoltScale : AmpereScale;
        }
    }

    /// <summary>The circuit solved here.</summary>
    public CompiledCircuit Circuit { get; }

    /// <summary>Volts by circuit node after a converged <see cref="Solve"/>; node 0 is 0.</summary>
    public ReadOnlySpan<double> Volts => _volts;

    /// <summary>Back to nominal parameters and no edits.</summary>
    public void Restore()
    {
        if (_parametersChanged)
        {
            var parameters = Circuit.Parameters;
            for (var i = 0; i < parameters.Length; i++)
            {
                _parameters[i] = parameters[i].Nominal;
            }
            _nominalValue.AsSpan().CopyTo(_elementValue);
            Array.Fill(_elementStrength, 1);
            Array.Fill(_elementGain, 1);
            Array.Clear(_elementThreshold);
            Array.Clear(_pinOffset);
            RestoreSupplies();
            _parametersChanged = false;
            _stale = true;
        }
        RemoveEdits();
    }

    /// <summary>Value of a parameter, by its index in <see cref="CompiledCircuit.Parameters"/>.</summary>
    public double Get(int parameter) => _parameters[parameter];

    /// <summary>Sets a parameter, by its index in <see cref="CompiledCircuit.Parameters"/>.</summary>
    public void Set(int parameter, double value)
    {
        var (kind, index, _) = Circuit.Parameters[parameter];
        _parameters[parameter] = value;
        _parametersChanged = true;
        _stale = true;
        switch (kind)
        {
            case ParameterKind.Value:
                _elementValue[index] = value;
                break;
            case ParameterKind.Strength:
                _elementStrength[index] = value;
                break;
            case ParameterKind.Gain:
                _elementGain[index] = value;
                break;
            case ParameterKind.Threshold:
                _elementThreshold[index] = value;
                break;
            case ParameterKind.Winding
            or ParameterKind.FirstRectifier
            or ParameterKind.SecondRectifier:
                SetSupply(kind, index, value);
                break;
            default:
                _pinOffset[index] = value;
                break;
        }
    }

    /// <summary>
    /// Current through an element with a voltage of its own (V, L, and E, H, B with a voltage output), amperes, positive from its first
    /// terminal through it to its second, at the operating point last solved.
    /// </summary>
    public double BranchAmps(int element)
    {
        if (!_solved)
        {
            throw new InvalidOperationException("There is no operating point to read from.");
        }
        return _t.BranchOf[element] >= 0 ? _m.V[_t.BranchOf[element]]
            : FindSupply(element) is >= 0 and var supply ? -SupplyAmps(supply)
            : FoldedAmps(element);
    }

    internal bool HasBranchAmps(int element) =>
        _t.BranchOf[element] >= 0
        || _t.Folding.Folded.Contains(element)
        || FindSupply(element) >= 0;

    /// <summary>The nodes, that with the largest current left over first, after a solve that failed.</summary>
    internal IEnumerable<int> WorstNodes() =>
        Enumerable
            .Range(1, _nodeRow.Length - 1)
            .Where(node => _nodeRow[node] < _t.UnknownCount)
            .OrderByDescending(node => Magnitude(_m.F[_nodeRow[node]]));

    private static double Magnitude(double value) =>
        double.IsNaN(value) ? double.PositiveInfinity : Math.Abs(value);
}

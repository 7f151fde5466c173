using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Simulation.Compilation;

namespace NetAudit.Simulation;

/// <summary>
/// A circuit prepared for solving: flat arrays, a fixed sparsity pattern and an elimination order. Compiled once, shared by any number
/// of <see cref="Workspace"/>s. Immutable, thread-safe.
/// </summary>
public sealed class CompiledCircuit
{
    /// <summary>What an open joint or an infinite resistance still conducts through: 10 GΩ of leakage, as in life.</summary>
    public const double OpenResistance = 1e10;

    private readonly Dictionary<(ParameterKind, int), int> _parameterIndex;
    private readonly Lazy<(Topology Topology, DerivativePlan Plan)> _dynamic;
    private double[]? _innerDrops;

    internal CompiledCircuit(
        Circuit circuit,
        Topology topology,
        ImmutableArray<Parameter> parameters
    )
    {
        Circuit = circuit;
        Topology = topology;
        Parameters = parameters;
        Plan = DerivativePlan.For(circuit, topology, parameters);
        _dynamic = new(() =>
        {
            var dynamic = CircuitCompiler.CompileDynamic(circuit);
            return (dynamic, DerivativePlan.For(circuit, dynamic, parameters));
        });
        _parameterIndex = new(parameters.Length);
        for (var i = 0; i < parameters.Length; i++)
        {
            _parameterIndex.Add((parameters[i].Kind, parameters[i].Index), i);
        }
    }

    /// <summary>The circuit.</summary>
    public Circuit Circuit { get; }

    /// <summary>Everything that can be changed in a workspace.</summary>
    public ImmutableArray<Parameter> Parameters { get; }

    internal Topology Topology { get; }

    internal DerivativePlan Plan { get; }

    /// <summary>
    /// The structure with unknown inductor currents and places for capacitors, which small signal and transients share. Element, node, pin
    /// and parameter indices are the same. Made when it is first asked for.
    /// </summary>
    internal Topology DynamicTopology => _dynamic.Value.Topology;

    internal DerivativePlan DynamicPlan => _dynamic.Value.Plan;

    /// <summary>
    /// Volts across the resistances inside semiconductors in the healthy circuit: start values by node do not say them, and a warm start
    /// would lose its lead without. Empty when there are none or the healthy circuit has no operating point.
    /// </summary>
    internal ReadOnlySpan<double> InnerDrops => (_innerDrops ??= FindInnerDrops());

    /// <summary>Compiles a circuit.</summary>
    public static CompiledCircuit Compile(Circuit circuit) => CircuitCompiler.Compile(circuit);

    /// <summary>Index into <see cref="Parameters"/>, or -1.</summary>
    public int FindParameter(ParameterKind kind, int index) =>
        _parameterIndex.GetValueOrDefault((kind, index), -1);

    /// <summary>True for a parameter that moves the operating point.</summary>
    internal bool ActsAtDc(int parameter) =>
        Parameters[parameter].Kind != ParameterKind.Value
        || Circuit.Elements[Parameters[parameter].Index] is not (Capacitor or Inductor)
        || Array.Exists(Plan.SupplyParameters, p => p.Parameter == parameter);

    private double[] FindInnerDrops()
    {
        if (Topology.InnerNodes.Length == 0)
        {
            return [];
        }
        var workspace = new Workspace(this);
        return workspace.Solve([]).Converged ? workspace.InnerDrops() : [];
    }
}

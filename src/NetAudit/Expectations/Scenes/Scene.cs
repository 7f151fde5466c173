using System.Collections.Immutable;
using NetAudit.Simulation;

namespace NetAudit.Expectations.Scenes;

/// <summary>
/// The amplifier in one condition, ready to solve: the same nodes, pins, elements and solver parameters as in its normal state, with
/// other values. One object a condition: equal only to itself. Immutable, thread-safe.
/// </summary>
internal sealed class Scene
{
    /// <summary>The condition.</summary>
    public required Condition Condition { get; init; }

    /// <summary>The circuit in this condition.</summary>
    public required CompiledCircuit Compiled { get; init; }

    /// <summary>Solver parameters that differ from what the circuit says (tubes that are cold or out of their sockets).</summary>
    public ImmutableArray<(int Parameter, double Value)> Settings { get; init; } = [];

    /// <summary>
    /// What a fault's parameter value has to be multiplied by, by parameter index: a source at a lower wall voltage, a control turned
    /// down, a cold tube. Empty when nothing differs.
    /// </summary>
    public ImmutableArray<double> Ratios { get; init; } = [];

    /// <summary>Tubes that are not in their sockets, or of which another is: what is wrong inside them does not act here.</summary>
    public ImmutableHashSet<string> Absent { get; init; } = [];

    /// <summary>Tubes in whose place a known-good one stands.</summary>
    public ImmutableHashSet<string> Swapped { get; init; } = [];

    /// <summary>Nodes joined by a clip lead.</summary>
    public ImmutableArray<(int First, int Second)> Links { get; init; } = [];

    /// <summary>True with the mains off.</summary>
    public bool IsOff { get; init; }

    /// <summary>True when the wall voltage was set and read, so that its spread is that of the reading.</summary>
    public bool MainsAreKnown { get; init; }

    /// <summary>The test signal, or null when there is none.</summary>
    public TestSignal? Signal { get; init; }

    /// <summary>A fault's value of a parameter as it is in this condition.</summary>
    public double ValueHere(int parameter, double value)
    {
        if (Ratios.IsEmpty)
        {
            return value;
        }
        var ratio = Ratios[parameter];
        if (value >= CompiledCircuit.OpenResistance)
        {
            return value;
        }
        // A contact that is open here and closed otherwise is no better for a fault of its closed state.
        return ratio > SwitchedRatio
            ? Math.Max(value, Compiled.Parameters[parameter].Nominal)
            : value * ratio;
    }

    private const double SwitchedRatio = 1e4;
}

/// <summary>The signal whose level is read.</summary>
/// <param name="Source">Element index of the source that gives it, or -1 when it is fed in elsewhere.</param>
/// <param name="Node">Node it is fed into, or -1.</param>
/// <param name="Frequency">Hertz.</param>
/// <param name="Volts">Volts RMS of the open source.</param>
/// <param name="SourceOhms">Source resistance with which it is fed into a node, ohms.</param>
/// <param name="BlockingFarads">Capacitor through which it is fed into a node, farads.</param>
internal sealed record TestSignal(
    int Source,
    int Node,
    double Frequency,
    double Volts,
    double SourceOhms,
    double BlockingFarads
);

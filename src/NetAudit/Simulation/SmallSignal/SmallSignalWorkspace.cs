using System.Numerics;

namespace NetAudit.Simulation.SmallSignal;

/// <summary>
/// Levels, impedances and resistances of a circuit linearised at the operating point that a <see cref="Workspace"/> has found, with all its
/// changed parameters and edits, and their derivatives, the movement of the operating point included. One per thread; allocates nothing
/// once it has seen as many columns as it will be asked for.
/// </summary>
public sealed class SmallSignalWorkspace
{
    private readonly LinearisedCircuit _dynamic;
    private readonly LinearisedCircuit _still;

    /// <param name="operatingPoint">
    /// Solve it before asking here, and again after a change. Its last operating point counts.
    /// </param>
    public SmallSignalWorkspace(Workspace operatingPoint)
    {
        OperatingPoint = operatingPoint;
        _dynamic = new(operatingPoint, Workspace.ForDynamics(operatingPoint.Circuit));
        _still = new(operatingPoint, operatingPoint);
    }

    /// <summary>The workspace whose operating point is linearised at.</summary>
    public Workspace OperatingPoint { get; }

    /// <summary>
    /// Levels between nodes under a set of excitations, each meter alone in the circuit.
    /// </summary>
    /// <param name="frequency">Hertz, above 0.</param>
    /// <param name="excitations">What puts signal in, all at once.</param>
    /// <param name="probes">The meters.</param>
    /// <param name="columns">What to differentiate by: a parameter's index, or Parameters.Length plus an edit's index.</param>
    /// <param name="levels">Complex volts, one a probe.</param>
    /// <param name="jacobian">d(level)/d(value) in SI units, row by row, a row a probe; empty when none are wanted. Total: it includes what
    /// the operating point's movement does to every conductance.</param>
    /// <returns>False when the circuit has no unique solution at this frequency; then nothing is written.</returns>
    /// <exception cref="InvalidOperationException">The workspace holds no operating point.</exception>
    public bool Levels(
        double frequency,
        ReadOnlySpan<Excitation> excitations,
        ReadOnlySpan<LevelProbe> probes,
        ReadOnlySpan<int> columns,
        Span<Complex> levels,
        Span<Complex> jacobian
    )
    {
        if (!_dynamic.Prepare(Angular(frequency), excitations))
        {
            return false;
        }
        _dynamic.Excite(excitations);
        for (var first = 0; first < probes.Length; first += LaneMemory.Width)
        {
            var block = probes[first..Math.Min(first + LaneMemory.Width, probes.Length)];
            _dynamic.ReadLevels(block, levels[first..], !jacobian.IsEmpty);
            if (!jacobian.IsEmpty)
            {
                _dynamic.Differentiate(columns, block.Length, jacobian[(first * columns.Length)..]);
            }
        }
        return true;
    }

    /// <summary>
    /// Current from a pin's node into what the pin belongs to, amperes, under the excitations of the last call of <see cref="Levels"/>. An
    /// independent voltage source has none to tell of: 0.
    /// </summary>
    internal Complex PinAmps(int pin) => _dynamic.PinAmps(pin);

    /// <summary>Impedances between pairs of nodes: volts per ampere put in at the first and taken out at the second.</summary>
    /// <param name="frequency">Hertz, above 0.</param>
    /// <param name="pairs">The pairs.</param>
    /// <param name="columns">As for <see cref="Levels"/>.</param>
    /// <param name="ohms">Complex ohms, one a pair.</param>
    /// <param name="jacobian">As for <see cref="Levels"/>.</param>
    /// <returns>False when the circuit has no unique solution at this frequency; then nothing is written.</returns>
    /// <exception cref="InvalidOperationException">The workspace holds no operating point.</exception>
    public bool Impedances(
        double frequency,
        ReadOnlySpan<NodePair> pairs,
        ReadOnlySpan<int> columns,
        Span<Complex> ohms,
        Span<Complex> jacobian
    ) => Impedances(_dynamic, Angular(frequency), pairs, columns, ohms, jacobian);

    /// <summary>
    /// Resistances between pairs of nodes at frequency 0: capacitors open, inductors shorts, and every device linearised at the operating
    /// point. Meant for a circuit whose power is off. Only traces of leakage tie a floating node to chassis, so what is open reads far above
    /// <see cref="CompiledCircuit.OpenResistance"/>, up to 1e15 ohms.
    /// </summary>
    /// <param name="pairs">The pairs.</param>
    /// <param name="columns">As for <see cref="Levels"/>.</param>
    /// <param name="ohms">Ohms, one a pair.</param>
    /// <param name="jacobian">As for <see cref="Levels"/>.</param>
    /// <returns>False when the circuit has no unique solution; then nothing is written.</returns>
    /// <exception cref="InvalidOperationException">The workspace holds no operating point.</exception>
    public bool Resistances(
        ReadOnlySpan<NodePair> pairs,
        ReadOnlySpan<int> columns,
        Span<double> ohms,
        Span<double> jacobian
    )
    {
        if (!_still.Prepare(0, []))
        {
            return false;
        }
        if (_row.Length < LaneMemory.Width * columns.Length && !jacobian.IsEmpty)
        {
            _row = new Complex[LaneMemory.Width * columns.Length];
        }
        for (var first = 0; first < pairs.Length; first += LaneMemory.Width)
        {
            var block = pairs[first..Math.Min(first + LaneMemory.Width, pairs.Length)];
            _still.ReadImpedances(block, _ohms, !jacobian.IsEmpty);
            for (var i = 0; i < block.Length; i++)
            {
                ohms[first + i] = _ohms[i].Real;
            }
            if (!jacobian.IsEmpty)
            {
                _still.Differentiate(columns, block.Length, _row);
                for (var i = 0; i < block.Length * columns.Length; i++)
                {
                    jacobian[first * columns.Length + i] = _row[i].Real;
                }
            }
        }
        return true;
    }

    private readonly Complex[] _ohms = new Complex[LaneMemory.Width];
    private Complex[] _row = [];

    private static bool Impedances(
        LinearisedCircuit circuit,
        double omega,
        ReadOnlySpan<NodePair> pairs,
        ReadOnlySpan<int> columns,
        Span<Complex> ohms,
        Span<Complex> jacobian
    )
    {
        if (!circuit.Prepare(omega, []))
        {
            return false;
        }
        for (var first = 0; first < pairs.Length; first += LaneMemory.Width)
        {
            var block = pairs[first..Math.Min(first + LaneMemory.Width, pairs.Length)];
            circuit.ReadImpedances(block, ohms[first..], !jacobian.IsEmpty);
            if (!jacobian.IsEmpty)
            {
                circuit.Differentiate(columns, block.Length, jacobian[(first * columns.Length)..]);
            }
        }
        return true;
    }

    private static double Angular(double frequency)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(frequency);
        return 2 * Math.PI * frequency;
    }
}

namespace NetAudit.Simulation.SmallSignal;

/// <summary>
/// An ohmmeter at a circuit without power: volts over test current. Where no junction is driven that is the resistance of small currents;
/// where one is, the equations are solved with the current. One per thread; allocates nothing once it has seen as many columns as it will be
/// asked for.
/// </summary>
/// <param name="circuit">The circuit. Solve its operating point before asking here, and again after a change.</param>
/// <param name="mostVolts">Most volts that the meter puts across its probes, above 0.</param>
public sealed class Ohmmeter(SmallSignalWorkspace circuit, double mostVolts)
{
    // Whatever bends it, a resistance above this stays over-range: junctions turn ten times a thousand into one in the volts of a test.
    private const double Endless = 1e11;

    private readonly TestLadder _ladder = new(mostVolts);
    private readonly Probe[] _probes = new Probe[LaneMemory.Width];
    private readonly double[] _amperes = new double[LaneMemory.Width];
    private readonly bool[] _bent = new bool[LaneMemory.Width];

    /// <summary>Reads the resistances between pairs of nodes, each alone.</summary>
    /// <param name="pairs">Where the test current enters and leaves.</param>
    /// <param name="columns">What to differentiate by, as for <see cref="SmallSignalWorkspace.Levels"/>.</param>
    /// <param name="ohms">Ohms, one a pair; infinite where the smallest current finds too many volts, NaN where it does not settle.</param>
    /// <param name="jacobian">d(ohms)/d(value) at the test current, row by row, a row a pair; empty when none are wanted.</param>
    /// <param name="bends">
    /// d(ln ohms)/d(ln test current), one a pair: 0 for what obeys Ohm's law, toward -1 for a junction that conducts. With derivatives
    /// only, else untouched.
    /// </param>
    /// <returns>False when the circuit has no unique solution; then nothing is written.</returns>
    /// <exception cref="InvalidOperationException">The workspace holds no operating point.</exception>
    public bool Read(
        ReadOnlySpan<NodePair> pairs,
        ReadOnlySpan<int> columns,
        Span<double> ohms,
        Span<double> jacobian,
        Span<double> bends
    )
    {
        if (!circuit.Resistances(pairs, columns, ohms, jacobian))
        {
            return false;
        }
        if (!jacobian.IsEmpty)
        {
            bends[..pairs.Length].Clear();
        }
        var width = jacobian.IsEmpty ? 0 : columns.Length;
        var point = circuit.OperatingPoint;
        for (var first = 0; first < pairs.Length; first += LaneMemory.Width)
        {
            var count = Math.Min(LaneMemory.Width, pairs.Length - first);
            for (var i = 0; i < count; i++)
            {
                var (positive, negative) = pairs[first + i];
                _probes[i] = new(positive, negative, double.PositiveInfinity);
                _amperes[i] = TestLadder.Amperes(_ladder.RungFor(ohms[first + i]));
            }
            point.FindBent(_probes.AsSpan(0, count), _amperes, _bent);
            for (var i = 0; i < count; i++)
            {
                if (_bent[i] && ohms[first + i] < Endless)
                {
                    var at = first + i;
                    var row = jacobian.IsEmpty ? jacobian : jacobian.Slice(at * width, width);
                    Drive(i, columns, ref ohms[at], row, row.IsEmpty ? row : bends[at..]);
                }
            }
        }
        return true;
    }

    private void Drive(
        int probe,
        ReadOnlySpan<int> columns,
        ref double ohms,
        Span<double> row,
        Span<double> bend
    )
    {
        var rung = _ladder.RungFor(ohms);
        var volts = circuit.OperatingPoint.DriveTest(
            _probes[probe],
            _ladder,
            ref rung,
            columns,
            row,
            out var further
        );
        if (!double.IsFinite(volts))
        {
            ohms = volts;
            row.Clear();
            return;
        }
        var amperes = TestLadder.Amperes(rung);
        ohms = volts / amperes;
        if (!row.IsEmpty)
        {
            foreach (ref var slope in row)
            {
                slope /= amperes;
            }
            bend[0] = further / ohms - 1;
        }
    }
}

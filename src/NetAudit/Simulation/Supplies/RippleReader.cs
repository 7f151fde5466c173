using System.Numerics;
using NetAudit.Simulation.SmallSignal;

namespace NetAudit.Simulation.Supplies;

/// <summary>
/// Ripple of the mains at every point: each rectifier's current, harmonic by harmonic, goes through the circuit linearised at its
/// operating point. A meter shows the RMS of all harmonics. One per thread; follows its workspace like the small-signal engine.
/// </summary>
/// <param name="signals">The engine, on the workspace whose operating point counts.</param>
public sealed class RippleReader(SmallSignalWorkspace signals)
{
    /// <summary>
    /// Multiples of the mains frequency that are added up; the sixth of a full-wave rectifier's is a per cent of the second behind a filter.
    /// </summary>
    private const int MostHarmonics = 6;

    // Below this a level has no direction to be differentiated in.
    private const double LeastVolts = 1e-12;

    private readonly Workspace _point = signals.OperatingPoint;
    private double[] _byVolts = [];
    private Complex[] _levels = [];
    private Complex[] _sum = [];
    private Complex[] _jacobian = [];
    private Complex[] _sumJacobian = [];

    /// <summary>True when the circuit has a supply that ripples.</summary>
    public bool HasSupplies => _point.Structure.Supplies.Length > 0;

    /// <summary>RMS volts of ripple at the probes, and their derivatives.</summary>
    /// <param name="probes">The meters.</param>
    /// <param name="columns">What to differentiate by, as for <see cref="SmallSignalWorkspace.Levels"/>.</param>
    /// <param name="volts">One a probe.</param>
    /// <param name="jacobian">d(volts)/d(value), row by row; empty when none are wanted.</param>
    /// <returns>False when the circuit has no unique solution at some harmonic; then nothing is to be used.</returns>
    public bool Read(
        ReadOnlySpan<LevelProbe> probes,
        ReadOnlySpan<int> columns,
        Span<double> volts,
        Span<double> jacobian
    )
    {
        var wanted = jacobian.IsEmpty ? 0 : columns.Length;
        columns = columns[..wanted];
        var cells = probes.Length * wanted;
        Reserve(ref _levels, probes.Length);
        Reserve(ref _sum, probes.Length);
        Reserve(ref _jacobian, cells);
        Reserve(ref _sumJacobian, cells);
        volts.Clear();
        jacobian.Clear();
        ReadReservoirs(columns);
        var supplies = _point.Structure.Supplies;
        foreach (var frequency in Frequencies())
        {
            for (var multiple = 1; multiple <= MostHarmonics; multiple++)
            {
                _sum.AsSpan().Clear();
                _sumJacobian.AsSpan().Clear();
                for (var supply = 0; supply < supplies.Length; supply++)
                {
                    if (
                        supplies[supply].Supply.Frequency == frequency
                        && !AddHarmonic(supply, multiple, probes, columns)
                    )
                    {
                        return false;
                    }
                }
                for (var row = 0; row < probes.Length; row++)
                {
                    var level = _sum[row];
                    volts[row] += level.Real * level.Real + level.Imaginary * level.Imaginary;
                    for (var column = 0; column < wanted; column++)
                    {
                        var slope = _sumJacobian[row * wanted + column];
                        jacobian[row * wanted + column] +=
                            level.Real * slope.Real + level.Imaginary * slope.Imaginary;
                    }
                }
            }
        }
        for (var row = 0; row < probes.Length; row++)
        {
            volts[row] = Math.Sqrt(volts[row]);
            for (var column = 0; column < wanted; column++)
            {
                jacobian[row * wanted + column] /= Math.Max(volts[row], LeastVolts);
            }
        }
        return true;
    }

    private IEnumerable<double> Frequencies() =>
        _point.Structure.Supplies.Select(supply => supply.Supply.Frequency).Distinct();

    // d(reservoir volts)/d(column), of positive polarity.
    private void ReadReservoirs(ReadOnlySpan<int> columns)
    {
        var supplies = _point.Structure.Supplies;
        Reserve(ref _byVolts, supplies.Length * columns.Length);
        if (columns.IsEmpty)
        {
            return;
        }
        Span<double> volts = stackalloc double[1];
        for (var i = 0; i < supplies.Length; i++)
        {
            var (hot, cold) = supplies[i].Supply.ReservoirEnds;
            var probe = new Probe(hot.Node, cold.Node, double.PositiveInfinity);
            var row = _byVolts.AsSpan(i * columns.Length, columns.Length);
            _point.Read([probe], columns, volts, row);
            for (var column = 0; column < row.Length; column++)
            {
                row[column] *= supplies[i].Polarity;
            }
        }
    }

    private bool AddHarmonic(
        int supply,
        int multiple,
        ReadOnlySpan<LevelProbe> probes,
        ReadOnlySpan<int> columns
    )
    {
        ref readonly var instance = ref _point.Structure.Supplies[supply];
        var element = _point.SuppliesAtPoint()[supply];
        if (!element.IsOn)
        {
            return true;
        }
        var amps = element.Waveforms.HarmonicAmps(multiple);
        if (amps == Complex.Zero)
        {
            return true;
        }
        var source = _point.Circuit.Circuit.Elements[instance.Element].Terminals;
        var cells = probes.Length * columns.Length;
        Span<Excitation> current =
        [
            Excitation.OfCurrent(source[1].Node, source[0].Node, instance.Polarity * amps),
        ];
        if (
            !signals.Levels(
                multiple * instance.Supply.Frequency,
                current,
                probes,
                columns,
                _levels,
                _jacobian.AsSpan(0, cells)
            )
        )
        {
            return false;
        }
        for (var row = 0; row < probes.Length; row++)
        {
            _sum[row] += _levels[row];
        }
        if (columns.IsEmpty)
        {
            return true;
        }
        var slopes = element.DifferentiateHarmonic(multiple);
        for (var column = 0; column < columns.Length; column++)
        {
            var change = slopes.Volts * _byVolts[supply * columns.Length + column];
            if (_point.QuantityOf(columns[column], supply) is { } quantity)
            {
                change += slopes.Of(quantity);
            }
            for (var row = 0; row < probes.Length; row++)
            {
                var cell = row * columns.Length + column;
                _sumJacobian[cell] += _jacobian[cell] + _levels[row] / amps * change;
            }
        }
        return true;
    }

    private static void Reserve<T>(ref T[] array, int count)
    {
        if (array.Length < count)
        {
            array = new T[count];
        }
    }
}

using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Simulation.Supplies;

/// <summary>What the current of a supply depends on. SI units, of positive polarity.</summary>
internal record struct SupplyValues
{
    /// <summary>Average volts at the reservoir.</summary>
    public double ReservoirVolts;

    /// <summary>Average volts at the source's own terminals.</summary>
    public double SourceVolts;

    /// <summary>Volts RMS of the secondary; 0 with the mains off.</summary>
    public double Secondary;

    /// <summary>Ohms of one conducting path, joints included.</summary>
    public double Winding;

    /// <summary>Ohms between the source's terminals and the reservoir.</summary>
    public double Series;

    /// <summary>Factor on the current of both rectifiers.</summary>
    public double Strength;

    /// <summary>Factor on the current of the rectifier of the first half cycle.</summary>
    public double First;

    /// <summary>The same of the second.</summary>
    public double Second;

    public double Farads;

    /// <summary>Ohms in series with the reservoir.</summary>
    public double ReservoirOhms;
}

/// <summary>
/// A supply as a two-terminal element: its average current as a function of average voltages. The pulses pass everything up to the
/// reservoir, so it is the reservoir's voltage and all that resistance that make the current. Where the reservoir is cut off (a standby
/// switch before it), what remains is an unfiltered rectifier: a source of the mean rectified voltage behind the winding, which fades in
/// as the resistance to the reservoir approaches megohms. Not thread-safe; allocates nothing after construction.
/// </summary>
internal sealed class SupplyElement
{
    /// <summary>Ohms to the reservoir at which it no longer matters; far above a bad joint, far below an open switch.</summary>
    private const double CutOffOhms = 1e7;

    /// <summary>Ohms of an unfiltered rectifier beside the winding's (common practice, no source).</summary>
    private const double RectifierOhms = 100;

    // A path whose rectifier passes less than this part of its current hardly lifts the mean.
    private const double DeadFactor = 1e-3;

    private readonly RectifierSteadyState _rectifier;
    private readonly bool _isHalfWave;
    private readonly double _smallDrop;
    private SupplyValues _at;

    public SupplyElement(RectifierSupply supply)
    {
        _rectifier = new(supply.Law, supply.Circuit, supply.Frequency, supply.SmoothingSiemens);
        _isHalfWave = supply.Circuit == RectifierCircuit.HalfWave;
        _smallDrop = new RectifierPath(
            supply.Law,
            supply.Circuit == RectifierCircuit.Bridge
        ).SmallDrop;
    }

    /// <summary>Average amperes; NaN when no steady state was found.</summary>
    public double Amps { get; private set; }

    /// <summary>Derivative by the reservoir's volts.</summary>
    public double ByReservoir { get; private set; }

    /// <summary>Derivative by the source's volts.</summary>
    public double BySource { get; private set; }

    /// <summary>The waveforms of the last evaluation.</summary>
    public RectifierSteadyState Waveforms => _rectifier;

    /// <summary>True when the mains were on at the last evaluation and a steady state was found.</summary>
    public bool IsOn => _at.Secondary > 0 && double.IsFinite(Amps);

    /// <summary>Derivatives of a harmonic of the current at the values last evaluated.</summary>
    public SupplySlopes DifferentiateHarmonic(int multiple)
    {
        var slopes = _rectifier.DifferentiateHarmonic(multiple);
        return new(slopes, _at.Strength, _at.First, _at.Second);
    }

    /// <summary>Finds current and slopes.</summary>
    public void Evaluate(in SupplyValues at)
    {
        _at = at;
        if (at.Secondary <= 0)
        {
            // With the mains off nothing conducts.
            (Amps, ByReservoir, BySource) = (0, 0, 0);
            return;
        }
        if (!_rectifier.Solve(Input(at)))
        {
            (Amps, ByReservoir, BySource) = (double.NaN, 0, 0);
            return;
        }
        var unfiltered = CutOff(at.Series, out _) / (at.Winding + RectifierOhms);
        Amps = _rectifier.Amps + unfiltered * (MeanVolts(at) - at.SourceVolts);
        ByReservoir = _rectifier.ByVolts;
        BySource = -unfiltered;
    }

    /// <summary>Derivatives of the current by everything, at the values last evaluated; the two voltages are those of the properties.</summary>
    public SupplyValues Differentiate(in SupplyValues at)
    {
        if (at.Secondary <= 0)
        {
            return default;
        }
        var slopes = _rectifier.Differentiate();
        var cutOff = CutOff(at.Series, out var cutOffSlope);
        var ohms = at.Winding + RectifierOhms;
        var over = MeanVolts(at) - at.SourceVolts;
        var first = slopes.First * at.Strength + cutOff / ohms * MeanSlope(at, at.First);
        var second = _isHalfWave
            ? 0
            : slopes.Second * at.Strength + cutOff / ohms * MeanSlope(at, at.Second);
        return new()
        {
            ReservoirVolts = ByReservoir,
            SourceVolts = BySource,
            Secondary = slopes.Secondary + cutOff / ohms * MeanPart(at),
            Winding = slopes.Ohms - cutOff * over / (ohms * ohms),
            Series = slopes.Ohms + cutOffSlope * over / ohms,
            Strength = (first * at.First + second * at.Second) / at.Strength,
            First = first,
            Second = second,
            Farads = slopes.Farads,
            ReservoirOhms = slopes.ReservoirOhms,
        };
    }

    private static RectifierInput Input(in SupplyValues at) =>
        new()
        {
            Volts = at.ReservoirVolts,
            Secondary = at.Secondary,
            Ohms = at.Winding + at.Series,
            First = at.Strength * at.First,
            Second = at.Strength * at.Second,
            Farads = at.Farads,
            ReservoirOhms = at.ReservoirOhms,
        };

    private static double CutOff(double ohms, out double slope)
    {
        var part = ohms / (ohms + CutOffOhms);
        slope = 2 * part * CutOffOhms / ((ohms + CutOffOhms) * (ohms + CutOffOhms));
        return part * part;
    }

    // Mean of the rectified sine over its RMS value.
    private double MeanPart(in SupplyValues at) =>
        Math.Sqrt(2)
        / Math.PI
        * (Alive(at.Strength * at.First) + (_isHalfWave ? 0 : Alive(at.Strength * at.Second)));

    private double MeanVolts(in SupplyValues at) => at.Secondary * MeanPart(at) - _smallDrop;

    private static double MeanSlope(in SupplyValues at, double factor)
    {
        var sum = at.Strength * factor + DeadFactor;
        return at.Secondary * Math.Sqrt(2) / Math.PI * at.Strength * DeadFactor / (sum * sum);
    }

    private static double Alive(double factor) => factor / (factor + DeadFactor);
}

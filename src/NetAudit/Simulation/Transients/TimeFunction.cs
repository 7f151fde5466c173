using NetAudit.Circuits;

namespace NetAudit.Simulation.Transients;

/// <summary>
/// The value of an independent source against time. Source: ngspice 39 user manual, section 4.1 (SPICE3 user manual, section 3.2.1, for
/// <c>sin pulse exp pwl sffm</c>). Immutable, thread-safe.
/// </summary>
internal sealed class TimeFunction
{
    private readonly string _name;
    private readonly double[] _arguments;
    private readonly double _step;
    private readonly double _stop;

    /// <param name="name"><c>sin</c>, <c>pulse</c>, <c>exp</c>, <c>pwl</c>, <c>sffm</c> or <c>am</c>.</param>
    /// <param name="arguments">Its arguments in netlist order.</param>
    /// <param name="step">Seconds that stand for a rise time or time constant that is not given.</param>
    /// <param name="stop">Seconds that stand for a width or period that is not given.</param>
    public TimeFunction(string name, ReadOnlySpan<double> arguments, double step, double stop)
    {
        _name = name;
        _arguments = arguments.ToArray();
        _step = step;
        _stop = stop;
    }

    /// <summary>The function of a source's card, or null when it has none.</summary>
    public static TimeFunction? Of(Stimulus stimulus, double step, double stop) =>
        stimulus.Function is { } name
            ? new TimeFunction(name, stimulus.Arguments.AsSpan(), step, stop)
            : null;

    /// <summary>A sine about zero, from time 0.</summary>
    public static TimeFunction Sine(double offset, double peak, double frequency) =>
        new("sin", [offset, peak, frequency], 0, 0);

    /// <summary>Zero, then within <paramref name="rise"/> seconds the value, which stays.</summary>
    public static TimeFunction Ramp(double value, double rise) =>
        new("pwl", [0, 0, rise, value], 0, 0);

    /// <summary>Volts or amperes added to the function.</summary>
    public double Offset { get; init; }

    /// <summary>Volts or amperes at a time, seconds from the start.</summary>
    public double At(double time) =>
        Offset
        + _name switch
        {
            "sin" => Sine(time),
            "pulse" => Pulse(time),
            "exp" => Exponential(time),
            "pwl" => PiecewiseLinear(time),
            "sffm" => FrequencyModulated(time),
            "am" => AmplitudeModulated(time),
            _ => throw new InvalidOperationException($"unknown function of time {_name}"),
        };

    /// <summary>The first time after <paramref name="time"/> at which the function bends or jumps; infinity when there is none.</summary>
    public double NextCorner(double time) =>
        _name switch
        {
            "sin" => After(time, Argument(3)),
            "am" => After(time, Argument(4)),
            "exp" => Math.Min(After(time, Argument(2)), After(time, Given(4, Argument(2) + _step))),
            "pwl" => NextPair(time),
            "pulse" => NextPulseCorner(time),
            _ => double.PositiveInfinity,
        };

    private double Argument(int index) => index < _arguments.Length ? _arguments[index] : 0;

    private double Given(int index, double otherwise) =>
        index < _arguments.Length && _arguments[index] != 0 ? _arguments[index] : otherwise;

    private static double After(double time, double corner) =>
        corner > time ? corner : double.PositiveInfinity;

    private static double Radians(double degrees) => degrees * Math.PI / 180;

    // SIN(offset amplitude frequency delay damping phase)
    private double Sine(double time)
    {
        var frequency = Given(2, 1 / _stop);
        var since = Math.Max(0, time - Argument(3));
        return Argument(0)
            + Argument(1)
                * Math.Exp(-since * Argument(4))
                * Math.Sin(2 * Math.PI * frequency * since + Radians(Argument(5)));
    }

    // PULSE(first second delay rise fall width period)
    private double Pulse(double time)
    {
        var (first, second) = (Argument(0), Argument(1));
        var (rise, fall, width) = (Given(3, _step), Given(4, _step), Given(5, _stop));
        var since = time - Argument(2);
        if (since < 0)
        {
            return first;
        }
        since -= Math.Floor(since / Period) * Period;
        if (since < rise)
        {
            return first + (second - first) * since / rise;
        }
        if (since < rise + width)
        {
            return second;
        }
        return since < rise + width + fall
            ? second + (first - second) * (since - rise - width) / fall
            : first;
    }

    private double Period => Given(6, _stop);

    private double NextPulseCorner(double time)
    {
        var (rise, fall, width) = (Given(3, _step), Given(4, _step), Given(5, _stop));
        var past = Math.Max(0, Math.Floor((time - Argument(2)) / Period));
        // A period of doubt on either side: the sums below round differently from the time they are compared with.
        for (var period = Math.Max(0, past - 1); period <= past + 1; period++)
        {
            var at = Argument(2) + period * Period;
            foreach (
                var corner in (ReadOnlySpan<double>)[0, rise, rise + width, rise + width + fall]
            )
            {
                if (corner <= Period && at + corner > time * (1 + Same))
                {
                    return at + corner;
                }
            }
        }
        return double.PositiveInfinity;
    }

    private const double Same = 1e-12;

    // EXP(first second rise-delay rise-constant fall-delay fall-constant)
    private double Exponential(double time)
    {
        var (first, second) = (Argument(0), Argument(1));
        var rise = Argument(2);
        var fall = Given(4, rise + _step);
        var value = first;
        if (time > rise)
        {
            value += (second - first) * -ExpM1(-(time - rise) / Given(3, _step));
        }
        if (time > fall)
        {
            value += (first - second) * -ExpM1(-(time - fall) / Given(5, _step));
        }
        return value;
    }

    private static double ExpM1(double x) => Math.Exp(x) - 1;

    // PWL(t1 v1 t2 v2 …), constant outside.
    private double PiecewiseLinear(double time)
    {
        if (time <= _arguments[0])
        {
            return _arguments[1];
        }
        for (var i = 2; i + 1 < _arguments.Length; i += 2)
        {
            if (time < _arguments[i])
            {
                var share = (time - _arguments[i - 2]) / (_arguments[i] - _arguments[i - 2]);
                return _arguments[i - 1] + share * (_arguments[i + 1] - _arguments[i - 1]);
            }
        }
        return _arguments[^1];
    }

    private double NextPair(double time)
    {
        for (var i = 0; i < _arguments.Length; i += 2)
        {
            if (_arguments[i] > time * (1 + Same))
            {
                return _arguments[i];
            }
        }
        return double.PositiveInfinity;
    }

    // SFFM(offset amplitude carrier index signal carrier-phase signal-phase)
    private double FrequencyModulated(double time)
    {
        var carrier = Given(2, 1 / _stop);
        var signal = Given(4, 1 / _stop);
        return Argument(0)
            + Argument(1)
                * Math.Sin(
                    2 * Math.PI * carrier * time
                        + Radians(Argument(5))
                        + Argument(3) * Math.Sin(2 * Math.PI * signal * time + Radians(Argument(6)))
                );
    }

    // AM(amplitude offset modulation carrier delay); measured: ngspice 39 takes no notice of the phases its manual names.
    private double AmplitudeModulated(double time)
    {
        var since = time - Argument(4);
        return since <= 0
            ? 0
            : Argument(0)
                * (Argument(1) + Math.Sin(2 * Math.PI * Given(2, 1 / _stop) * since))
                * Math.Sin(2 * Math.PI * Given(3, 1 / _stop) * since);
    }
}

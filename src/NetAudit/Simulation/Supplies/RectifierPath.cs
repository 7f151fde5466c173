using NetAudit.Circuits;

namespace NetAudit.Simulation.Supplies;

/// <summary>
/// Current through a rectifier in series with a resistance: solves volts = u + ohms i for the law i(u) of the rectifier, with the
/// derivatives of i.
/// </summary>
internal sealed class RectifierPath
{
    private const int MostIterations = 40;

    // Where a Newton step is this small against the voltage the next error is at rounding level.
    private const double LastStep = 1e-8;

    private readonly PlateRectifier? _plate;
    private readonly JunctionRectifier? _junction;

    /// <summary>Path through a rectifier; in a bridge two of them conduct in series.</summary>
    public RectifierPath(RectifierLaw law, bool isBridge)
    {
        _plate = law as PlateRectifier;
        _junction = law as JunctionRectifier;
        if (isBridge)
        {
            _junction = _junction?.InSeries(2);
            _plate = _plate is { } plate
                ? new(
                    plate.Perveance * Math.Pow(0.5, plate.Exponent),
                    plate.Exponent,
                    2 * plate.Width
                )
                : null;
        }
    }

    /// <summary>Volts that the rectifier drops at a current of a milliampere: for states where it hardly conducts.</summary>
    public double SmallDrop =>
        _junction is { } j ? j.EmissionVolts * Math.Log(1 + 1e-3 / j.Saturation) : 0;

    /// <summary>The current and its derivatives.</summary>
    /// <param name="volts">Volts over rectifier and resistance.</param>
    /// <param name="ohms">Ohms in series, above 0.</param>
    /// <param name="factor">Factor on the rectifier's current, above 0.</param>
    /// <param name="start">Volts over the rectifier to start from.</param>
    /// <param name="byVolts">Derivative by <paramref name="volts"/>.</param>
    /// <param name="byFactor">Derivative by <paramref name="factor"/>; that by ohms is -i times the one by volts.</param>
    public double Amps(
        double volts,
        double ohms,
        double factor,
        ref double start,
        out double byVolts,
        out double byFactor
    ) =>
        _plate is { } plate
            ? PlateAmps(plate, volts, ohms, factor, ref start, out byVolts, out byFactor)
            : JunctionAmps(_junction!, volts, ohms, factor, out byVolts, out byFactor);

    private static double PlateAmps(
        PlateRectifier plate,
        double volts,
        double ohms,
        double factor,
        ref double start,
        out double byVolts,
        out double byFactor
    )
    {
        // So far below zero the rounded current is below 1e-15 of that at a volt.
        if (volts < -30 * plate.Width)
        {
            start = volts;
            byVolts = byFactor = 0;
            return 0;
        }
        // The current is convex in u: from either side the second step on comes from above, monotonically.
        var u = Math.Min(start, volts);
        var unit = 0.0;
        var slope = 0.0;
        for (var iteration = 0; iteration < MostIterations; iteration++)
        {
            unit = Law(plate, u, out slope);
            var step = (u + ohms * factor * unit - volts) / (1 + ohms * factor * slope);
            u -= step;
            if (Math.Abs(step) <= LastStep * (plate.Width + Math.Abs(u)))
            {
                unit -= step * slope;
                break;
            }
        }
        start = u;
        var share = 1 / (1 + ohms * factor * slope);
        byVolts = factor * slope * share;
        byFactor = unit * share;
        return factor * unit;
    }

    private static double Law(PlateRectifier plate, double u, out double slope)
    {
        var x = u / plate.Width;
        double soft,
            softSlope;
        if (x > 36)
        {
            (soft, softSlope) = (u, 1);
        }
        else
        {
            var e = Math.Exp(x);
            soft = plate.Width * double.LogP1(e);
            softSlope = e / (1 + e);
        }
        if (soft <= 0)
        {
            slope = 0;
            return 0;
        }
        var power = plate.Exponent == 1.5 ? Math.Sqrt(soft) : Math.Pow(soft, plate.Exponent - 1);
        slope = plate.Perveance * plate.Exponent * power * softSlope;
        return plate.Perveance * power * soft;
    }

    // u = n ln(1 + i / fIs) + R i / f; with the series resistance Lambert's w: w + ln w = y, y = ln(fIs R' / n) + (volts + fIs R') / n,
    // i = n w / R' - fIs.
    private static double JunctionAmps(
        JunctionRectifier junction,
        double volts,
        double ohms,
        double factor,
        out double byVolts,
        out double byFactor
    )
    {
        var n = junction.EmissionVolts;
        var saturation = factor * junction.Saturation;
        if (volts < -40 * n)
        {
            byVolts = byFactor = 0;
            return -saturation;
        }
        var total = ohms + junction.Ohms / factor;
        var z = saturation * total / n;
        var y = Math.Log(z) + volts / n + z;
        // From below for large y, from above for small: Newton's method goes straight there.
        var w = y > 2 ? y - Math.Log(y) : Math.Exp(Math.Min(y, 0.5));
        for (var iteration = 0; iteration < MostIterations && w > 0; iteration++)
        {
            var step = w * (y - w - Math.Log(w)) / (1 + w);
            w += step;
            if (Math.Abs(step) <= LastStep * w)
            {
                break;
            }
        }
        var amps = n * w / total - saturation;
        byVolts = w / (total * (1 + w));
        byFactor = amps / factor * (1 - ohms * byVolts);
        return amps;
    }
}

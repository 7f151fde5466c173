namespace NetAudit.Circuits.Elaboration;

/// <summary>Functions of time of independent sources, at time zero.</summary>
internal static class Waveform
{
    /// <summary>
    /// The value at time zero, which an operating point uses when the card gives no DC value. SPICE3 user manual, section 3.2.1, and
    /// ngspice 39 for the phases and for <c>am</c>.
    /// </summary>
    /// <param name="function"><c>sin</c>, <c>pulse</c>, <c>exp</c>, <c>pwl</c>, <c>sffm</c> or <c>am</c>.</param>
    /// <param name="arguments">Its arguments in netlist order, at least two.</param>
    public static double AtTimeZero(string function, IReadOnlyList<double> arguments)
    {
        double Argument(int index) => index < arguments.Count ? arguments[index] : 0;
        double Sine(int phase) => Math.Sin(Argument(phase) * Math.PI / 180);
        return function switch
        {
            // SIN(offset amplitude frequency delay damping phase)
            "sin" => Argument(0) + Argument(1) * Sine(5),
            "pulse" or "exp" => Argument(0),
            // PWL(t1 v1 …): constant before the first time.
            "pwl" => PiecewiseAtZero(arguments),
            // SFFM(offset amplitude carrier index signal …)
            "sffm" => Argument(0),
            _ => 0,
        };
    }

    private static double PiecewiseAtZero(IReadOnlyList<double> arguments)
    {
        for (var i = 2; i + 1 < arguments.Count; i += 2)
        {
            if (arguments[i - 2] <= 0 && arguments[i] > 0)
            {
                var share = -arguments[i - 2] / (arguments[i] - arguments[i - 2]);
                return arguments[i - 1] + share * (arguments[i + 1] - arguments[i - 1]);
            }
        }
        return arguments[0] > 0 ? arguments[1] : arguments[arguments.Count - 1];
    }
}

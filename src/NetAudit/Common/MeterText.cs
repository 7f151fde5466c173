using System.Globalization;

namespace NetAudit.Common;

/// <summary>Voltages as a meter shows them. Culture-invariant, thread-safe.</summary>
public static class MeterText
{
    /// <summary>Four digits or so, without a unit: <c>182.0</c>, <c>1.204</c>, <c>5.000E+29</c>; never a negative zero.</summary>
    /// <param name="volts">Volts.</param>
    public static string Volts(double volts)
    {
        var format = Math.Abs(volts) switch
        {
            >= 1e6 => "0.000E+0",
            >= 999.5 => "0",
            >= 99.95 => "0.0",
            >= 9.995 => "0.00",
            _ => "0.000",
        };
        var text = volts.ToString(format, CultureInfo.InvariantCulture);
        return text.Trim('-', '0', '.').Length == 0 ? text.TrimStart('-') : text;
    }
}

using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Circuits;

/// <summary>How one conducting path of a rectifier passes current, at 27 °C. Immutable.</summary>
public abstract record RectifierLaw
{
    /// <summary>The silicon rectifier of the built-in data; read once.</summary>
    public static JunctionRectifier SolidState => Silicon.Value;

    private static readonly Lazy<JunctionRectifier> Silicon = new(() =>
    {
        ImmutableDictionary<string, string> row = EmbeddedTable.Read("rectifiers.csv")[0];
        double Number(string column) => double.Parse(row[column], CultureInvariant);
        return new(Number("saturation_amps"), Number("emission_volts"), Number("series_ohms"));
    });

    private static IFormatProvider CultureInvariant =>
        System.Globalization.CultureInfo.InvariantCulture;
}

/// <summary>A rectifier tube's plate: I = P s(v)^x with s the positive part of v, rounded over w volts (docs/tubes.md).</summary>
/// <param name="Perveance">P, amperes per volt^x.</param>
/// <param name="Exponent">x, 1.5 of an ideal diode (Child and Langmuir).</param>
/// <param name="Width">w, volts, above 0.</param>
public sealed record PlateRectifier(double Perveance, double Exponent, double Width) : RectifierLaw;

/// <summary>Silicon: v = n ln(1 + I / Is) + R I (Shockley).</summary>
/// <param name="Saturation">Is, amperes, above 0.</param>
/// <param name="EmissionVolts">n, the emission coefficient times the thermal voltage, above 0.</param>
/// <param name="Ohms">R, not negative.</param>
public sealed record JunctionRectifier(double Saturation, double EmissionVolts, double Ohms)
    : RectifierLaw
{
    /// <summary>That many diodes in series, as the two that conduct in a bridge.</summary>
    public JunctionRectifier InSeries(int count) =>
        new(Saturation, count * EmissionVolts, count * Ohms);
}

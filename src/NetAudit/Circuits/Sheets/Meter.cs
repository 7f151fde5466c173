using System.Collections.Immutable;

namespace NetAudit.Circuits.Sheets;

/// <summary>The meter that readings are taken with. Immutable.</summary>
public sealed record Meter
{
    /// <summary>What a sheet that says nothing gets: a 4000-count digital meter of 10 MΩ.</summary>
    public static Meter Default { get; } = new();

    /// <summary>Input resistance in ohms of a digital meter on its voltage ranges; above 0.</summary>
    public double InputResistance { get; init; } = 10e6;

    /// <summary>
    /// Input capacitance in farads, leads included, on the AC ranges; not below 0. 100 pF is common practice, no source.
    /// </summary>
    public double InputCapacitance { get; init; } = 100e-12;

    /// <summary>Ohms per volt of full scale of a needle meter, or null for a digital meter.</summary>
    public double? OhmsPerVolt { get; init; }

    /// <summary>Full-scale volts of a needle meter's ranges, ascending; used with <see cref="OhmsPerVolt"/>.</summary>
    public ImmutableArray<double> Ranges { get; init; } = [2.5, 10, 50, 250, 1000];

    /// <summary>Accuracy of DC volts.</summary>
    public MeterAccuracy Dc { get; init; } = new(0.005, 2, 4000);

    /// <summary>Accuracy of AC volts.</summary>
    public MeterAccuracy Ac { get; init; } = new(0.01, 5, 4000);

    /// <summary>Accuracy of resistance readings.</summary>
    public MeterAccuracy Ohms { get; init; } = new(0.008, 3, 4000);

    /// <summary>
    /// Most volts across the probes in ohms; above 0. Semiconductors that conduct there lower a reading. 0.2 V of a digital meter is common
    /// practice, no source.
    /// </summary>
    public double OhmsTestVolts { get; init; } = 0.2;

    /// <summary>
    /// Resistance in ohms that the meter puts across a circuit while it reads about that many volts. A needle meter is used on the
    /// lowest range that holds the reading.
    /// </summary>
    public double LoadOhms(double volts)
    {
        if (OhmsPerVolt is not { } perVolt)
        {
            return InputResistance;
        }
        foreach (var range in Ranges)
        {
            if (range >= Math.Abs(volts))
            {
                return perVolt * range;
            }
        }
        return perVolt * Ranges[^1];
    }
}

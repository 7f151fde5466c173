using System.Collections.Immutable;
using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>What to be told before a hand goes into the unit. Thread-safe.</summary>
public static class Cautions
{
    /// <summary>Those that hold for every unit, each a paragraph; <see cref="Of"/> has them too.</summary>
    public static ImmutableArray<string> OfAnyUnit { get; } =
    [
        "Take live readings with one hand, the other away from the unit: clip the meter's common lead on with the power off, and use "
            + "probes rated for the voltage.",
        "After work, power up through a current limiter and from an isolation transformer. Neither makes the inside safe to touch. "
            + "Keep every fuse, the protective earth and every interlock in working order.",
        "Mains equipment is work for people trained for it: follow local codes, and leave to licensed practice what they reserve for it.",
    ];

    /// <summary>The cautions for an amplifier, each a paragraph.</summary>
    public static ImmutableArray<string> Of(Amplifier amplifier) =>
        [Stored(amplifier), .. DischargeCaution.Of(amplifier), .. OfAnyUnit];

    private static string Stored(Amplifier amplifier)
    {
        var volts = HighestSupply(amplifier);
        var names = string.Join(", ", Reservoirs(amplifier));
        var reservoirs = names.Length == 0 ? "the capacitors" : names;
        var supply = volts.ToString("0", CultureInfo.InvariantCulture);
        return volts > Discharge.SafeVolts
            ? $"Supplies reach about {supply} V and can kill; capacitors hold it after the plug is out. Pull the plug, discharge {reservoirs} "
                + "through a resistor with insulated leads, and measure below 50 V on each before you touch or solder."
            : $"Supplies reach only about {supply} V, but mains stands at the switch, fuse and transformer. Pull the plug, let {reservoirs} "
                + "discharge, and measure before you touch or solder.";
    }

    private static double HighestSupply(Amplifier amplifier) =>
        amplifier
            .Circuit.Elements.OfType<VoltageSource>()
            .Where(source => source.Device is null)
            .Select(source =>
                source.Supply is { } supply
                    ? Math.Sqrt(2) * supply.Secondary
                    : Math.Abs(source.Stimulus.Dc)
            )
            .DefaultIfEmpty(0)
            .Max();

    private static IEnumerable<string> Reservoirs(Amplifier amplifier) =>
        amplifier
            .Parts.Where(part => part.Class is PartClass.Electrolytic or PartClass.Capacitor)
            .Select(part => part.Name)
            .Where(name => amplifier.StageOf(name) is { IsSupply: true });
}

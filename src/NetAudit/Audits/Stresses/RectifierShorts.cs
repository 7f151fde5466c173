using System.Numerics;
using NetAudit.Circuits;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Audits.Stresses;

/// <summary>
/// One rectifier of a <c>[[supply]]</c> shorted, by the resistances alone. In a centre-tapped or bridge circuit the other rectifier shorts
/// the winding in every other half cycle; a half-wave or centre-tapped one puts the alternating voltage on the reservoir through whatever
/// lies before it.
/// </summary>
internal static class RectifierShorts
{
    /// <summary>Amperes RMS that the short alone drives through a fuse; 0 when the fuse is not in its path.</summary>
    public static double Amps(Amplifier amplifier, FuseProbe fuse, RectifierSupply supply)
    {
        var elements = amplifier.Circuit.Elements;
        double Ohms(int element) => ((Resistor)elements[element]).Ohms;
        var reservoir = (Capacitor)elements[supply.Reservoir];
        var impedance = new Complex(
            supply.WindingOhms + supply.Series.Sum(Ohms),
            -1 / (2 * Math.PI * supply.Frequency * reservoir.Farads)
        );
        var alternating = supply.Secondary / impedance.Magnitude;
        if (fuse.Mains is not { } primary)
        {
            return supply.Circuit != RectifierCircuit.Bridge && supply.Series.Contains(fuse.Element)
                ? alternating
                : 0;
        }
        var windingOhms =
            supply.WindingOhms
            + supply.Series.Where(e => IsWinding(amplifier, elements[e])).Sum(Ohms);
        // Half a sine of peak V sqrt(2) over R, every other half cycle: V / (R sqrt(2)) RMS.
        var shorted = supply.Secondary / (Math.Sqrt(2) * windingOhms);
        return supply.Circuit switch
        {
            RectifierCircuit.HalfWave => primary.Referred(alternating, supply.Secondary),
            RectifierCircuit.FullWave => primary.Referred(shorted, 2 * supply.Secondary),
            _ => primary.Referred(shorted, supply.Secondary),
        };
    }

    private static bool IsWinding(Amplifier amplifier, Element element) =>
        amplifier.FindPart(element.Name) is { Class: PartClass.Winding };
}

using System.Globalization;
using NetAudit.Circuits;

namespace NetAudit.Bench.Entry;

/// <summary>
/// Where the pins of a base stand, seen from below, numbered clockwise: as data sheets draw it, the gap or key at the bottom (base
/// outlines of IEC 60067, from memory). Angles in degrees, clockwise, 0 to the right.
/// </summary>
internal sealed record BaseGeometry(int Places, double First, bool HasKey)
{
    private const int MostPins = 14;

    /// <summary>The base of a tube by its highest pin number; null when its pins are not numbered.</summary>
    public static BaseGeometry? Of(Part tube)
    {
        var highest = 0;
        foreach (var pin in tube.Pins)
        {
            if (
                !int.TryParse(
                    pin.Name,
                    NumberStyles.None,
                    CultureInfo.InvariantCulture,
                    out var number
                )
            )
            {
                return null;
            }
            highest = Math.Max(highest, number);
        }
        return highest switch
        {
            0 or > MostPins => null,
            // Octal: eight places, a key between the last and the first.
            8 => new(8, 90 + 22.5, true),
            // Miniature bases: one place more than pins, left empty as the gap.
            <= 7 => new(8, 90 + 45, false),
            9 => new(10, 90 + 36, false),
            _ => new(highest + 1, 90 + 360.0 / (highest + 1), false),
        };
    }

    /// <summary>Where a pin stands on a circle about the origin.</summary>
    public (double X, double Y) Place(int pin, double radius)
    {
        var angle = (First + (pin - 1) * 360.0 / Places) * Math.PI / 180;
        return (radius * Math.Cos(angle), radius * Math.Sin(angle));
    }
}

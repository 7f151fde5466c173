using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Faults;

/// <summary>Joints at a part's pins: not soldered, or cracked and resistive.</summary>
internal static class JointFaults
{
    public static IEnumerable<FaultKind> Of(Part part)
    {
        var pins = part.Pins.Where(pin => pin.Pin >= 0).ToArray();
        foreach (var pin in pins)
        {
            var weight = 0.3 / pins.Length;
            yield return new(
                0.6 * weight,
                _ =>
                    new(
                        part.Name,
                        "open-joint",
                        pin.Name,
                        null,
                        null,
                        [new SetJoint(pin.Pin, double.PositiveInfinity)]
                    )
            );
            yield return new(
                0.4 * weight,
                random =>
                {
                    var ohms = random.Decades(100, 3e6);
                    return new(
                        part.Name,
                        "resistive-joint",
                        pin.Name,
                        null,
                        ohms,
                        [new SetJoint(pin.Pin, ohms)]
                    );
                }
            );
        }
    }
}

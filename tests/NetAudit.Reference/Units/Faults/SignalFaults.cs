using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Faults;

/// <summary>
/// Capacitors that have lost contact or capacitance: volts DC show none of it. Weights and ranges are common practice, no source.
/// </summary>
internal static class SignalFaults
{
    /// <summary>What is left of an open capacitor: strays between its leads.</summary>
    private const double OpenFactor = 1e-5;

    public static IEnumerable<FaultKind> Of(Circuit circuit, Part part)
    {
        if (part.Class is not (PartClass.Capacitor or PartClass.Electrolytic))
        {
            yield break;
        }
        foreach (var element in part.Elements)
        {
            if (circuit.Elements[element] is not Capacitor capacitor)
            {
                continue;
            }
            yield return new(
                0.5,
                _ =>
                    PassiveFaults.Fault(
                        part,
                        "open",
                        null,
                        new SetValue(element, capacitor.Farads * OpenFactor)
                    )
            );
            if (part.Class == PartClass.Electrolytic)
            {
                yield return new(
                    1,
                    random =>
                    {
                        var farads = capacitor.Farads * random.Decades(0.01, 0.3);
                        return PassiveFaults.Fault(
                            part,
                            "dried-out",
                            farads,
                            new SetValue(element, farads)
                        );
                    }
                );
            }
        }
        foreach (var joint in JointFaults.Of(part))
        {
            yield return joint;
        }
    }
}

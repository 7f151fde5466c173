using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Faults;

/// <summary>Transistors and diodes: shorts and leaks of a junction, lost gain. Opens are faults of a joint.</summary>
internal static class SemiconductorFaults
{
    public static IEnumerable<FaultKind> OfTransistor(Circuit circuit, Part part)
    {
        var element = part.Elements[0];
        var ends = circuit.Elements[element].Terminals;
        foreach (var (first, second) in new[] { (0, 1), (1, 2), (0, 2) })
        {
            var (a, b) = (ends[first].Node, ends[second].Node);
            if (a == b)
            {
                continue;
            }
            yield return new(
                0.15,
                _ => PassiveFaults.Fault(part, "short", null, new AddBridge(a, b, 1))
            );
            yield return new(
                0.1,
                random =>
                {
                    var ohms = random.Decades(100, 3e5);
                    return PassiveFaults.Fault(part, "leaky", ohms, new AddBridge(a, b, ohms));
                }
            );
        }
        if (circuit.Elements[element] is BipolarTransistor)
        {
            yield return new(
                0.1,
                random =>
                {
                    var factor = random.Decades(0.02, 0.2);
                    return PassiveFaults.Fault(
                        part,
                        "weak",
                        factor,
                        new SetCurrentGain(element, factor)
                    );
                }
            );
        }
    }

    public static IEnumerable<FaultKind> OfDiode(Circuit circuit, Part part)
    {
        var ends = circuit.Elements[part.Elements[0]].Terminals;
        var (a, b) = (ends[0].Node, ends[1].Node);
        yield return new(
            0.4,
            _ => PassiveFaults.Fault(part, "short", null, new AddBridge(a, b, 0.5))
        );
        yield return new(
            0.3,
            _ =>
                PassiveFaults.Fault(
                    part,
                    "open",
                    null,
                    new SetJoint(ends[0].Pin, double.PositiveInfinity)
                )
        );
        yield return new(
            0.2,
            random =>
            {
                var ohms = random.Decades(100, 1e5);
                return PassiveFaults.Fault(part, "leaky", ohms, new AddBridge(a, b, ohms));
            }
        );
    }
}

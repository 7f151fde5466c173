using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Faults;

/// <summary>Supply and bias voltages, fuses, contacts.</summary>
internal static class SupplyFaults
{
    public static IEnumerable<FaultKind> OfSource(Circuit circuit, Part part)
    {
        var element = part.Elements[0];
        if (circuit.Elements[element] is not VoltageSource source)
        {
            yield break;
        }
        yield return new(0.6, random => Scaled("supply-low", random.Between(0.5, 0.85)));
        yield return new(0.3, random => Scaled("supply-high", random.Between(1.15, 1.3)));

        UnitFault Scaled(string mode, double factor)
        {
            var volts = source.Stimulus.Dc * factor;
            return PassiveFaults.Fault(part, mode, volts, new SetValue(element, volts));
        }
    }

    public static IEnumerable<FaultKind> OfFuse(Part part)
    {
        yield return new(
            1,
            _ =>
                PassiveFaults.Fault(
                    part,
                    "open",
                    null,
                    new SetValue(part.Elements[0], double.PositiveInfinity)
                )
        );
    }

    public static IEnumerable<FaultKind> OfContact(Part part)
    {
        yield return new(
            0.5,
            _ =>
                PassiveFaults.Fault(
                    part,
                    "open",
                    null,
                    new SetValue(part.Elements[0], double.PositiveInfinity)
                )
        );
        yield return new(
            0.5,
            random =>
            {
                var ohms = random.Decades(100, 1e6);
                return PassiveFaults.Fault(
                    part,
                    "drifted",
                    ohms,
                    new SetValue(part.Elements[0], ohms)
                );
            }
        );
    }
}

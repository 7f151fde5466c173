using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Faults;

/// <summary>Resistors, potentiometers, windings, capacitors.</summary>
internal static class PassiveFaults
{
    private static readonly double[] WrongFactors = [0.1, 10, 0.01, 100];

    public static IEnumerable<FaultKind> OfResistor(Circuit circuit, Part part)
    {
        foreach (var element in part.Elements)
        {
            if (circuit.Elements[element] is not Resistor resistor)
            {
                continue;
            }
            var (a, b) = (resistor.Terminals[0].Node, resistor.Terminals[1].Node);
            yield return new(
                0.3,
                _ => Fault(part, "open", null, new SetValue(element, double.PositiveInfinity))
            );
            yield return new(
                0.35,
                random =>
                {
                    // Old resistors drift upwards (carbon composition most); downwards is rare.
                    var factor =
                        random.NextDouble() < 0.8
                            ? random.Decades(1.25, 6)
                            : random.Decades(0.3, 0.8);
                    var ohms = resistor.Ohms * factor;
                    return Fault(part, "drifted", ohms, new SetValue(element, ohms));
                }
            );
            yield return new(
                0.1,
                random =>
                {
                    var ohms = resistor.Ohms * random.Of(WrongFactors);
                    return Fault(part, "wrong-value", ohms, new SetValue(element, ohms));
                }
            );
            yield return new(0.05, _ => Fault(part, "short", null, new AddBridge(a, b, 0.1)));
        }
    }

    public static IEnumerable<FaultKind> OfWinding(Circuit circuit, Part part)
    {
        foreach (var element in part.Elements)
        {
            if (circuit.Elements[element].Terminals is [{ Pin: >= 0 } first, ..])
            {
                yield return new(
                    0.5,
                    _ => Fault(part, "open", null, new SetJoint(first.Pin, double.PositiveInfinity))
                );
            }
        }
    }

    public static IEnumerable<FaultKind> OfCapacitor(Circuit circuit, Part part)
    {
        foreach (var element in part.Elements)
        {
            var (a, b) = (
                circuit.Elements[element].Terminals[0].Node,
                circuit.Elements[element].Terminals[1].Node
            );
            yield return new(
                0.7,
                random =>
                {
                    var ohms = random.Decades(3e3, 2e7);
                    return Fault(part, "leaky", ohms, new AddBridge(a, b, ohms));
                }
            );
            yield return new(0.3, _ => Fault(part, "short", null, new AddBridge(a, b, 0.5)));
        }
    }

    internal static UnitFault Fault(
        Part part,
        string mode,
        double? value,
        params ReadOnlySpan<CircuitEdit> edits
    ) => new(part.Name, mode, null, null, value, [.. edits]);
}

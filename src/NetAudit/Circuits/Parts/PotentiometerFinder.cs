namespace NetAudit.Circuits.Parts;

/// <summary>
/// Potentiometers: a subcircuit of exactly two resistors that meet at a port (<c>XVOL</c> becomes <c>VOL</c>); or two resistors named
/// alike but for a closing A and B (<c>RVOL_A RVOL_B</c>, <c>RVOLA RVOLB</c>) that share exactly one node, the wiper, as end of one and
/// start of the other. A bare number is no name for a control: <c>R5A R5B</c> stay two resistors unless written with an underscore.
/// </summary>
internal static class PotentiometerFinder
{
    public static void Find(PartCollection parts)
    {
        FindSubcircuits(parts);
        FindPairs(parts);
    }

    private static void FindSubcircuits(PartCollection parts)
    {
        var circuit = parts.Circuit;
        foreach (var instance in circuit.Instances.Where(instance => instance.Ports.Length == 3))
        {
            int[] inside =
            [
                .. Enumerable
                    .Range(0, circuit.Elements.Length)
                    .Where(i => IsInside(circuit.Elements[i], instance.Name)),
            ];
            if (
                inside is [var a, var b]
                && parts.IsFree(a)
                && parts.IsFree(b)
                && Wiper(circuit, a, b) is { } wiper
                && instance.Ports.Any(port => port.Node == wiper)
            )
            {
                var name = parts.Choose(PartNames.WithoutX(instance.Name), instance.Name);
                parts.Add(name, PartClass.Potentiometer, inside, parts.PinsOf(inside));
            }
        }
    }

    private static void FindPairs(PartCollection parts)
    {
        var circuit = parts.Circuit;
        for (var a = 0; a < circuit.Elements.Length; a++)
        {
            var first = circuit.Elements[a];
            if (!parts.IsFree(a) || first is not Resistor || Stem(first.Name) is not { } stem)
            {
                continue;
            }
            var b = circuit.FindElement(first.Name[..^1] + "B");
            if (
                b >= 0
                && parts.IsFree(b)
                && Wiper(circuit, a, b) is { } wiper
                && wiper != 0
                && InLine(first, circuit.Elements[b])
            )
            {
                int[] pair = [a, b];
                var name = parts.Choose(stem, first.Name);
                parts.Add(name, PartClass.Potentiometer, pair, parts.PinsOf(pair));
            }
        }
    }

    private static bool IsInside(Element element, string instance) =>
        element.Name.StartsWith(instance + ".", StringComparison.OrdinalIgnoreCase);

    private static int? Wiper(Circuit circuit, int a, int b)
    {
        if (circuit.Elements[a] is not Resistor first || circuit.Elements[b] is not Resistor second)
        {
            return null;
        }
        int[] shared =
        [
            .. first
                .Terminals.Select(end => end.Node)
                .Intersect(second.Terminals.Select(end => end.Node)),
        ];
        return shared is [var wiper] ? wiper : null;
    }

    private static bool InLine(Element first, Element second) =>
        first.Terminals[1].Node == second.Terminals[0].Node
        || first.Terminals[0].Node == second.Terminals[1].Node;

    // RVOL_A gives RVOL, RVOLA gives RVOL, R5A gives none.
    private static string? Stem(string name)
    {
        if (name.Length < 3 || name[^1] is not ('A' or 'a'))
        {
            return null;
        }
        var stem = name[..^1];
        if (stem[^1] == '_')
        {
            return stem[..^1];
        }
        var local = stem[(stem.LastIndexOf('.') + 1)..];
        return local.Skip(1).Any(char.IsLetter) ? stem : null;
    }
}

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
        var elements = Enumerable
            .Range(0, circuit.Elements.Length)
            .SelectMany(i => InstancesAround(circuit.Elements[i].Name).Select(name => (i, name)))
            .ToLookup(pair => pair.name, pair => pair.i, StringComparer.OrdinalIgnoreCase);
        foreach (var instance in circuit.Instances.Where(instance => instance.Ports.Length == 3))
        {
            var inside = elements[instance.Name].ToArray();
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
        var byName = Enumerable
            .Range(0, circuit.Elements.Length)
            .ToDictionary(i => circuit.Elements[i].Name, StringComparer.OrdinalIgnoreCase);
        for (var a = 0; a < circuit.Elements.Length; a++)
        {
            var first = circuit.Elements[a];
            if (!parts.IsFree(a) || first is not Resistor || Stem(first.Name) is not { } stem)
            {
                continue;
            }
            if (
                byName.TryGetValue(first.Name[..^1] + "B", out var b)
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

    // X1.X2.R1 lies in X1 and X1.X2.
    private static IEnumerable<string> InstancesAround(string element)
    {
        for (var dot = element.IndexOf('.'); dot >= 0; dot = element.IndexOf('.', dot + 1))
        {
            yield return element[..dot];
        }
    }

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

namespace NetAudit.Circuits.Parts;

/// <summary>Parts whose elements the sheet lists: <c>[part.VOLUME] elements = ["RVOLA", "RVOLB"]</c>.</summary>
internal static class SheetParts
{
    public static void Find(PartCollection parts)
    {
        var circuit = parts.Circuit;
        foreach (
            var (name, data) in parts.Sheet.Parts.OrderBy(pair => pair.Key, StringComparer.Ordinal)
        )
        {
            var elements = data
                .Elements.Select(circuit.FindElement)
                .Where(element => element >= 0 && parts.IsFree(element))
                .ToHashSet();
            if (elements.Count == 0)
            {
                continue;
            }
            // A coupling card joins windings and is nothing of its own.
            for (var i = 0; i < circuit.Elements.Length; i++)
            {
                if (
                    circuit.Elements[i] is Coupling coupling
                    && elements.Contains(coupling.First)
                    && elements.Contains(coupling.Second)
                )
                {
                    elements.Add(i);
                }
            }
            int[] order = [.. elements.Order()];
            var partClass = data.Kind switch
            {
                "potentiometer" or "trimmer" => PartClass.Potentiometer,
                "transformer" or "choke" or "winding" => PartClass.Winding,
                _ => SimpleParts.ClassOf(parts.Sheet, circuit.Elements[order[0]]),
            };
            parts.Add(name, partClass, order, parts.PinsOf(order));
        }
    }
}

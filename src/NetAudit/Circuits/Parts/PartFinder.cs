using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Circuits.Parts;

/// <summary>
/// Makes physical parts of a circuit's elements. What the sheet groups comes first, then tubes, potentiometers and transformers by
/// the rules of their finders; every element left is a part of its own name.
/// </summary>
internal static class PartFinder
{
    public static ImmutableArray<Part> Find(Circuit circuit, ServiceSheet sheet)
    {
        var parts = new PartCollection(circuit, sheet);
        SheetParts.Find(parts);
        TubeFinder.Find(parts);
        PotentiometerFinder.Find(parts);
        WindingFinder.Find(parts);
        OtherDevices.Find(parts);
        SimpleParts.Find(parts);
        return parts.Parts;
    }
}

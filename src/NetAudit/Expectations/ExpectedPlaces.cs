using NetAudit.Circuits;

namespace NetAudit.Expectations;

/// <summary>Where readings of a kind are worth taking.</summary>
internal static class ExpectedPlaces
{
    /// <summary>A place: the point at the first probe, the part read across or null, the node of the other probe.</summary>
    public readonly record struct Place(Point Point, string? Across, int RefNode);

    /// <summary>Every point against chassis for volts; for ohms across each part, then the points that no part joins to chassis.</summary>
    public static IEnumerable<Place> Of(Amplifier amplifier, ReadingKind kind)
    {
        var points = amplifier.Points.Select(point => new Place(point, null, 0));
        if (kind != ReadingKind.Ohms)
        {
            return points;
        }
        var across = amplifier.Parts.SelectMany(part => Across(amplifier, part)).ToArray();
        var joined = across
            .Where(place => place.RefNode == 0)
            .Select(place => place.Point.Node)
            .ToHashSet();
        return across.Concat(
            points
                .DistinctBy(place => place.Point.Node)
                .Where(place => place.Point.Node > 0 && !joined.Contains(place.Point.Node))
        );
    }

    private static IEnumerable<Place> Across(Amplifier amplifier, Part part)
    {
        if (part.Class is PartClass.Fixture or PartClass.Supply or PartClass.Tube)
        {
            return [];
        }
        var elements = part.Elements.Select(element => amplifier.Circuit.Elements[element]);
        // A winding's copper is a resistor of its own; the inductor alone would read nothing.
        if (elements.All(element => element is Inductor))
        {
            return [];
        }
        var pins = part.Pins.Select(pin => pin.Node).Where(node => node >= 0).Distinct().ToArray();
        return pins.Length == 2
            ? Named(amplifier, part.Name, pins)
            : elements
                .OfType<Resistor>()
                .SelectMany(element =>
                    Named(
                        amplifier,
                        element.Name,
                        [.. element.Terminals.Select(terminal => terminal.Node).Distinct()]
                    )
                );
    }

    // A part that a node shares its name with cannot be asked for by it.
    private static IEnumerable<Place> Named(Amplifier amplifier, string name, int[] nodes)
    {
        if (nodes is not [var first, var second] || amplifier.FindPoint(name) is not null)
        {
            return [];
        }
        var (node, reference) = first == 0 ? (second, first) : (first, second);
        var point =
            amplifier.Points.FirstOrDefault(p => p.Node == node)
            ?? new(amplifier.Circuit.Nodes[node].Name, [], node);
        return [new(point, name, reference)];
    }
}

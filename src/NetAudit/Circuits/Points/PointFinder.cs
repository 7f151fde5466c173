using System.Collections.Immutable;
using NetAudit.Circuits.Sheets;

namespace NetAudit.Circuits.Points;

/// <summary>
/// Places a probe can reach: every node outside devices, chassis left out. A point is called by the sheet's name, else by the first
/// tube pin that sits on it, else like its node; the others of these are its aliases, and <c>v1.6</c> for each tube pin.
/// </summary>
internal static class PointFinder
{
    public static ImmutableArray<Point> Find(
        Circuit circuit,
        ServiceSheet sheet,
        ImmutableArray<Part> parts
    )
    {
        var tubePins = parts
            .Where(part => part.Class == PartClass.Tube)
            .SelectMany(tube => tube.Pins.Select(pin => (Tube: tube, Pin: pin)))
            .Where(pair => pair.Pin.Node > 0)
            .ToLookup(pair => pair.Pin.Node);
        var named = sheet.Points.ToLookup(
            point => circuit.FindNode(point.Node),
            point => point.Name
        );
        var points = ImmutableArray.CreateBuilder<Point>();
        foreach (var node in circuit.Nodes.Where(node => node.Index != 0 && !node.Internal))
        {
            var names = named[node.Index]
                .Concat(tubePins[node.Index].Select(pair => InWords(pair.Tube, pair.Pin)))
                .Append(node.Name)
                .ToArray();
            var shorts = tubePins[node.Index].Select(pair => $"{pair.Tube.Name}.{pair.Pin.Name}");
            ImmutableArray<string> aliases =
            [
                .. names[1..]
                    .Reverse()
                    .Concat(shorts.Select(alias => alias.ToLowerInvariant()))
                    .Distinct(StringComparer.OrdinalIgnoreCase),
            ];
            points.Add(new Point(names[0], aliases, node.Index));
        }
        return points.ToImmutable();
    }

    private static string InWords(Part tube, PartPin pin) =>
        $"{tube.Name} pin {pin.Name} ({ElectrodeNames.Word(pin.Electrode)})";
}

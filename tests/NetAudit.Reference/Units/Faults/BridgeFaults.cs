using System.Globalization;
using NetAudit.Circuits;
using NetAudit.Reference.Netlists;

namespace NetAudit.Reference.Units.Faults;

/// <summary>Solder between neighbouring pins of a tube's base.</summary>
internal static class BridgeFaults
{
    public static IEnumerable<FaultKind> Of(Circuit circuit, Part part)
    {
        var pins = part
            .Pins.Where(pin => pin.Node >= 0 && int.TryParse(pin.Name, out _))
            .OrderBy(pin => int.Parse(pin.Name, CultureInfo.InvariantCulture))
            .ToArray();
        foreach (var (first, second) in pins.Zip(pins.Skip(1)))
        {
            var neighbours =
                int.Parse(second.Name, CultureInfo.InvariantCulture)
                == int.Parse(first.Name, CultureInfo.InvariantCulture) + 1;
            if (!neighbours || first.Node == second.Node)
            {
                continue;
            }
            var names = (circuit.Nodes[first.Node].Name, circuit.Nodes[second.Node].Name);
            yield return new(
                0.05,
                _ =>
                    new(
                        part.Name,
                        "bridged",
                        null,
                        names,
                        null,
                        [new AddBridge(first.Node, second.Node, 0.1)]
                    )
            );
        }
    }
}

using System.Collections.Immutable;

namespace NetAudit.Circuits.Tubes;

/// <summary>The current sources of one tube section, as element indices.</summary>
/// <param name="Plate">Sources that end on the plate.</param>
/// <param name="Screen">Sources that end on the screen and not on the plate.</param>
/// <param name="Grid">Sources that end on the control grid alone.</param>
public sealed record TubeSources(
    ImmutableArray<int> Plate,
    ImmutableArray<int> Screen,
    ImmutableArray<int> Grid
)
{
    /// <summary>What a worn cathode gives less of: plate and screen current.</summary>
    public ImmutableArray<int> Emission => [.. Plate, .. Screen];

    /// <summary>Finds the sources of a section in its circuit.</summary>
    public static TubeSources Of(Circuit circuit, TubeSection section)
    {
        var plate = ImmutableArray.CreateBuilder<int>();
        var screen = ImmutableArray.CreateBuilder<int>();
        var grid = ImmutableArray.CreateBuilder<int>();
        for (var i = 0; i < circuit.Elements.Length; i++)
        {
            var element = circuit.Elements[i];
            if (element.Device != section.Instance || !IsCurrent(element))
            {
                continue;
            }
            if (EndsOn(element, section.Plate))
            {
                plate.Add(i);
            }
            else if (EndsOn(element, section.Screen))
            {
                screen.Add(i);
            }
            else if (EndsOn(element, section.Grid))
            {
                grid.Add(i);
            }
        }
        return new(plate.ToImmutable(), screen.ToImmutable(), grid.ToImmutable());
    }

    private static bool IsCurrent(Element element) =>
        element
            is BehaviouralSource { Kind: OutputKind.Current }
                or VoltageControlledSource { Kind: OutputKind.Current };

    private static bool EndsOn(Element element, int pin) =>
        pin >= 0 && element.Terminals.Any(terminal => terminal.Pin == pin);
}

using System.Collections.Immutable;

namespace NetAudit.Circuits.Stages;

/// <summary>A device that can amplify: a tube section or a transistor. Nodes are -1 where there is no such electrode.</summary>
/// <param name="Index">Position in the list of devices.</param>
/// <param name="Name">As on screen: <c>V1A</c>, <c>Q3</c>.</param>
/// <param name="Unit">Part name, or the section's instance name where an envelope holds several.</param>
/// <param name="IsTube">True for a tube.</param>
/// <param name="Plate">Plate, collector or drain.</param>
/// <param name="Grid">Grid, base or gate.</param>
/// <param name="Cathode">Cathode, emitter or source.</param>
/// <param name="Screen">Screen.</param>
internal sealed record ActiveDevice(
    int Index,
    string Name,
    string Unit,
    bool IsTube,
    int Plate,
    int Grid,
    int Cathode,
    int Screen
)
{
    /// <summary>All its nodes.</summary>
    public IEnumerable<int> Nodes =>
        new[] { Plate, Grid, Cathode, Screen }.Where(node => node >= 0);

    /// <summary>The devices among the parts, in netlist order.</summary>
    public static ImmutableArray<ActiveDevice> Of(Circuit circuit, ImmutableArray<Part> parts)
    {
        var found = ImmutableArray.CreateBuilder<ActiveDevice>();
        foreach (var part in parts)
        {
            if (part.Class == PartClass.Tube)
            {
                foreach (var section in part.Sections.Where(section => section.Grid >= 0))
                {
                    found.Add(
                        new ActiveDevice(
                            found.Count,
                            part.Name + section.Section,
                            StageUnit.NameOf(part, section),
                            IsTube: true,
                            NodeOf(section.Plate),
                            NodeOf(section.Grid),
                            NodeOf(section.Cathode),
                            NodeOf(section.Screen)
                        )
                    );
                }
            }
            else if (
                part.Class
                is PartClass.BipolarTransistor
                    or PartClass.JunctionFet
                    or PartClass.MosFet
            )
            {
                var ends = circuit.Elements[part.Elements[0]].Terminals;
                found.Add(
                    new ActiveDevice(
                        found.Count,
                        part.Name,
                        part.Name,
                        IsTube: false,
                        ends[0].Node,
                        ends[1].Node,
                        ends[2].Node,
                        -1
                    )
                );
            }
        }
        return found.ToImmutable();

        int NodeOf(int pin) => pin < 0 ? -1 : circuit.Pins[pin].Node;
    }
}

using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses of resistors, capacitors, windings and fuses.</summary>
internal static class PassiveStresses
{
    private const string Sheet = "sheet";
    private const string ClassRating = "sheet, rating of its class";

    public static void AddResistor(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        ImmutableArray<int> resistors =
        [
            .. part.Elements.Where(i => amplifier.Circuit.Elements[i] is Resistor),
        ];
        if (resistors.IsEmpty)
        {
            return;
        }
        var ratings = amplifier.Sheet.Ratings;
        var (limit, source) = Limit(
            part.Data?.Power,
            part.Class == PartClass.Potentiometer
                ? ratings.PotentiometerWatts
                : ratings.ResistorWatts
        );
        points.Add(new ResistorPower(new(part.Name, StressKind.Power, limit, source), resistors));
        if (part.Data?.Voltage is { } volts && resistors.Length == 1)
        {
            var ends = amplifier.Circuit.Elements[resistors[0]].Terminals;
            points.Add(
                new NodeVolts(
                    new(part.Name, StressKind.Volts, volts, Sheet),
                    ends[0].Node,
                    ends[1].Node
                )
            );
        }
    }

    public static void AddCapacitor(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        var ratings = amplifier.Sheet.Ratings;
        var (limit, source) = Limit(
            part.Data?.Voltage,
            part.Class == PartClass.Electrolytic
                ? ratings.ElectrolyticVolts
                : ratings.CapacitorVolts
        );
        foreach (var element in part.Elements.Select(i => amplifier.Circuit.Elements[i]))
        {
            if (element is Capacitor)
            {
                points.Add(
                    new NodeVolts(
                        new(NameOf(part, element), StressKind.Volts, limit, source),
                        element.Terminals[0].Node,
                        element.Terminals[1].Node
                    )
                );
            }
        }
    }

    /// <summary>The current of each winding, read in its copper where the netlist has it.</summary>
    public static void AddWinding(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        var elements = amplifier.Circuit.Elements;
        int[] copper = [.. part.Elements.Where(i => elements[i] is Resistor)];
        foreach (var i in copper)
        {
            points.Add(new ResistorCurrent(Item(elements[i]), i));
        }
        foreach (var i in part.Elements.Where(i => elements[i] is Inductor))
        {
            var nodes = elements[i].Terminals.Select(end => end.Node);
            var hasCopper = copper.Any(r =>
                elements[r]
                    .Terminals.Select(end => end.Node)
                    .Intersect(nodes)
                    .Any(node => node != 0)
            );
            if (!hasCopper)
            {
                points.Add(new BranchCurrent(Item(elements[i]), i));
            }
        }

        StressItem Item(Element element)
        {
            var (limit, source) = Limit(
                amplifier.Sheet.Parts.GetValueOrDefault(element.Name)?.Current,
                part.Data?.Current
            );
            return new(NameOf(part, element), StressKind.WindingCurrent, limit, source);
        }
    }

    public static void AddFuse(
        ImmutableArray<StressPoint>.Builder points,
        Amplifier amplifier,
        Part part
    )
    {
        foreach (var fuse in amplifier.Sheet.Fuses)
        {
            var element = amplifier.Circuit.FindElement(fuse.Element);
            if (part.Elements.Contains(element))
            {
                points.Add(
                    new ResistorCurrent(
                        new(
                            part.Name,
                            StressKind.FuseCurrent,
                            fuse.RatedAmps,
                            fuse.RatedAmps is null ? "" : Sheet
                        ),
                        element
                    )
                );
            }
        }
    }

    private static (double? Limit, string Source) Limit(double? own, double? ofClass) =>
        own is not null ? (own, Sheet)
        : ofClass is not null ? (ofClass, ClassRating)
        : (null, "");

    private static string NameOf(Part part, Element element) =>
        part.Elements.Length == 1 ? part.Name : element.Name;
}

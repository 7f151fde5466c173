using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Audits.Stresses;

/// <summary>Stresses of resistors, capacitors, windings and fuses.</summary>
internal static class PassiveStresses
{
    private const string Sheet = "sheet";

    // An electrolytic bears a surge above its rating: 1.15 times up to 315 V, 1.10 times above (IEC 60384-4, from memory).
    private const double MostLowVolts = 315;
    private const double LowSurge = 1.15;
    private const double HighSurge = 1.10;
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
            AddVolts(
                points,
                amplifier.Circuit.Elements[resistors[0]],
                new(part.Name, StressKind.Volts, volts, Sheet)
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
                var item = new StressItem(NameOf(part, element), StressKind.Volts, limit, source);
                AddVolts(points, element, item);
                AddVolts(points, element, Surge(item, part.Class));
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

    /// <summary>The least rating of an electrolytic, volts, that bears a surge of that many volts.</summary>
    public static double RatingForSurge(double volts) =>
        volts <= LowSurge * MostLowVolts ? volts / LowSurge : volts / HighSurge;

    private static StressItem Surge(StressItem item, PartClass partClass)
    {
        var surge = item with { Kind = StressKind.SurgeVolts };
        return item.Limit is { } rated && partClass == PartClass.Electrolytic
            ? surge with
            {
                Limit = rated * (rated <= MostLowVolts ? LowSurge : HighSurge),
                LimitSource = $"{item.LimitSource}, surge of IEC 60384-4",
            }
            : surge;
    }

    private static void AddVolts(
        ImmutableArray<StressPoint>.Builder points,
        Element element,
        StressItem item
    ) => points.Add(new NodeVolts(item, element.Terminals[0].Node, element.Terminals[1].Node));

    private static (double? Limit, string Source) Limit(double? own, double? ofClass) =>
        own is not null ? (own, Sheet)
        : ofClass is not null ? (ofClass, ClassRating)
        : (null, "");

    private static string NameOf(Part part, Element element) =>
        part.Elements.Length == 1 ? part.Name : element.Name;
}

using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Bench.Sketches;

/// <summary>Something to be drawn: an element of two ends, or a device of more.</summary>
internal sealed record SketchUnit(
    string Name,
    string Value,
    Symbol Symbol,
    ImmutableArray<(string Name, int Node)> Ends
)
{
    public bool IsDevice => Ends.Length > 2;
}

/// <summary>What a stage is drawn of.</summary>
internal static class SketchUnits
{
    public static IEnumerable<SketchUnit> Of(Amplifier amplifier, Stage stage) =>
        stage.Parts.SelectMany(name => Of(amplifier, name)).DistinctBy(unit => unit.Name);

    private static IEnumerable<SketchUnit> Of(Amplifier amplifier, string name)
    {
        if (amplifier.FindPart(name) is not { } part)
        {
            return [];
        }
        if (part.Class == PartClass.Tube)
        {
            var sections = part.Sections.Where(s => s.Instance == name).ToArray();
            return (sections.Length > 0 ? sections : [.. part.Sections]).Select(section =>
                Section(amplifier, part, section)
            );
        }
        if (part.Pins.Count(pin => pin.Node >= 0) > 2 && IsTransistor(part))
        {
            return
            [
                new(
                    part.Name,
                    "",
                    Symbol.Other,
                    [.. part.Pins.Where(pin => pin.Node >= 0).Select(pin => (pin.Name, pin.Node))]
                ),
            ];
        }
        return part
            .Elements.Select(element => amplifier.Circuit.Elements[element])
            .Where(element => element.Terminals.Length == 2)
            .Select(element => new SketchUnit(
                element.Name,
                Value(element),
                SymbolOf(element),
                [.. element.Terminals.Select(terminal => ("", terminal.Node))]
            ));
    }

    private static SketchUnit Section(Amplifier amplifier, Part part, TubeSection section)
    {
        var pins = amplifier.Circuit.Pins;
        (string, int)[] ends =
        [
            ("plate", section.Plate),
            ("grid", section.Grid),
            ("cathode", section.Cathode),
            ("screen", section.Screen),
        ];
        return new(
            section.Section.Length > 0 ? $"{part.Name} {section.Section}" : part.Name,
            part.TubeType?.Name ?? "",
            Symbol.Other,
            [.. ends.Where(end => end.Item2 >= 0).Select(end => (end.Item1, pins[end.Item2].Node))]
        );
    }

    private static bool IsTransistor(Part part) =>
        part.Class is PartClass.BipolarTransistor or PartClass.JunctionFet or PartClass.MosFet;

    private static string Value(Element element) =>
        element switch
        {
            Resistor resistor => EngineeringNotation.Format(resistor.Ohms, "Ω", 3),
            Capacitor capacitor => EngineeringNotation.Format(capacitor.Farads, "F", 3),
            Inductor winding => EngineeringNotation.Format(winding.Henries, "H", 3),
            VoltageSource source => EngineeringNotation.Format(source.Stimulus.Dc, "V", 3),
            _ => "",
        };

    private static Symbol SymbolOf(Element element) =>
        element switch
        {
            Resistor => Symbol.Resistor,
            Capacitor => Symbol.Capacitor,
            Inductor => Symbol.Winding,
            Diode => Symbol.Diode,
            VoltageSource or CurrentSource => Symbol.Source,
            _ => Symbol.Other,
        };
}

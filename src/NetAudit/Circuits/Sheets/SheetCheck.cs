using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Sheets;

/// <summary>Checks the names in a sheet against the circuit: all of them, each with its place.</summary>
internal static class SheetCheck
{
    public static void Check(SheetReadResult sheet, Amplifier amplifier)
    {
        foreach (var reference in sheet.Names)
        {
            var candidates = Candidates(reference.Kind, amplifier).ToImmutableArray();
            if (!candidates.Contains(reference.Name, StringComparer.OrdinalIgnoreCase))
            {
                sheet.Diagnostics.Error(
                    reference.Where,
                    $"the circuit has no {Word(reference.Kind)} \"{reference.Name}\"",
                    Suggestions.DidYouMean(reference.Name, candidates)
                );
            }
        }
        CheckTwice(sheet, amplifier);
    }

    /// <summary>Reports a supply that the circuit cannot have, where the sheet names its source.</summary>
    public static void ReportSupply(SheetReadResult sheet, string source, string why, string mend)
    {
        var reference = sheet.Names.LastOrDefault(name =>
            name.Kind == NameKind.Source && name.Name == source
        );
        sheet.Diagnostics.Error(
            reference == default ? new SourceSpan(sheet.File, 1, 1) : reference.Where,
            why,
            mend
        );
    }

    // Two tubes or stages of one name could not be told apart on screen.
    private static void CheckTwice(SheetReadResult sheet, Amplifier amplifier)
    {
        var twice = amplifier
            .Parts.Select(part => part.Name)
            .Concat(sheet.Sheet.Stages.Select(stage => "stage " + stage.Name))
            .GroupBy(name => name, StringComparer.OrdinalIgnoreCase)
            .Where(group => group.Count() > 1);
        foreach (var group in twice)
        {
            sheet.Diagnostics.Error(
                new SourceSpan(sheet.File, 1, 1),
                $"two things are called \"{group.Key}\"",
                "give one of them another name"
            );
        }
    }

    private static IEnumerable<string> Candidates(NameKind kind, Amplifier amplifier)
    {
        var circuit = amplifier.Circuit;
        var elements = circuit.Elements.Where(element => element.Device is null);
        var devices = circuit.Instances.Where(instance => instance.IsDevice);
        return kind switch
        {
            NameKind.Element => elements.Select(element => element.Name),
            NameKind.Source => elements
                .Where(element => element is VoltageSource or CurrentSource)
                .Select(element => element.Name),
            NameKind.Resistor => elements.OfType<Resistor>().Select(element => element.Name),
            NameKind.Capacitor => elements.OfType<Capacitor>().Select(element => element.Name),
            NameKind.Device => devices.Select(device => device.Name),
            NameKind.Part => amplifier
                .Parts.Select(part => part.Name)
                .Concat(elements.Select(element => element.Name))
                .Concat(devices.Select(device => device.Name)),
            NameKind.Node => amplifier
                .Points.SelectMany(point => point.Aliases.Append(point.Name))
                .Concat(circuit.Nodes.Where(node => !node.Internal).Select(node => node.Name))
                .Append("gnd"),
            NameKind.Parameter => circuit.Parameters,
            _ => circuit.Parameters.Concat(
                elements
                    .Where(element => element is Resistor or VoltageSource or CurrentSource)
                    .Select(element => element.Name)
            ),
        };
    }

    private static string Word(NameKind kind) =>
        kind switch
        {
            NameKind.Setting => "parameter, resistor or source",
            NameKind.Parameter => "parameter",
            NameKind.Device => "tube or other device",
            _ => kind.ToString().ToLowerInvariant(),
        };
}

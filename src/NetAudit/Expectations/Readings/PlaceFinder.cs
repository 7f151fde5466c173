using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Expectations;

/// <summary>Finds the points and parts that readings name.</summary>
internal sealed class PlaceFinder(Amplifier amplifier, DiagnosticList diagnostics)
{
    private static readonly string[] Chassis = ["0", "gnd", "ground", "chassis"];

    /// <summary>Index of the node that a name means, or null, which is reported.</summary>
    public int? Node(Cell name)
    {
        if (TryNode(name.Text) is { } node)
        {
            return node;
        }
        Unknown(
            name,
            "point",
            amplifier.Points.SelectMany(point => point.Aliases.Append(point.Name))
        );
        return null;
    }

    /// <summary>Index of the node that a name means, or null.</summary>
    public int? TryNode(string name)
    {
        if (Chassis.Contains(name, StringComparer.OrdinalIgnoreCase))
        {
            return 0;
        }
        return amplifier.FindPoint(name)?.Node;
    }

    /// <summary>
    /// Splits <c>p1-k1</c> into two points. Node names may hold dashes themselves, so the whole is tried first and every dash after.
    /// </summary>
    public (Cell At, Cell Ref)? Difference(Cell text)
    {
        if (TryNode(text.Text) is not null)
        {
            return null;
        }
        for (var i = 1; i < text.Text.Length - 1; i++)
        {
            if (
                text.Text[i] == '-'
                && TryNode(text.Text[..i].Trim()) is not null
                && TryNode(text.Text[(i + 1)..].Trim()) is not null
            )
            {
                return (text.Slice(0, i), text.Slice(i + 1, text.Text.Length - i - 1));
            }
        }
        return null;
    }

    /// <summary>The two nodes of a part or winding with two ends, for a resistance read across it; null for any other name.</summary>
    public (int First, int Second)? Across(string name)
    {
        if (TryNode(name) is not null)
        {
            return null;
        }
        var element = amplifier.Circuit.FindElement(name);
        var nodes =
            element >= 0
                ? amplifier.Circuit.Elements[element].Terminals.Select(terminal => terminal.Node)
                : (amplifier.FindPart(name)?.Pins ?? [])
                    .Select(pin => pin.Node)
                    .Where(node => node >= 0);
        return nodes.Distinct().ToArray() is [var first, var second] ? (first, second) : null;
    }

    /// <summary>A part, or null.</summary>
    public Part? TryPart(string name) => amplifier.FindPart(name);

    /// <summary>Name of a tube, or null, which is reported.</summary>
    public string? Tube(Cell name)
    {
        if (amplifier.FindPart(name.Text) is { Class: PartClass.Tube } tube)
        {
            return tube.Name;
        }
        Unknown(
            name,
            "tube",
            amplifier.Parts.Where(part => part.Class == PartClass.Tube).Select(part => part.Name)
        );
        return null;
    }

    /// <summary>Reports a place that is neither point nor part.</summary>
    public void UnknownPlace(Cell name) =>
        Unknown(
            name,
            "point or part",
            amplifier
                .Parts.Select(part => part.Name)
                .Concat(amplifier.Points.SelectMany(point => point.Aliases.Append(point.Name)))
        );

    /// <summary>The circuit's own spelling of a node.</summary>
    public string Spelling(int node) => amplifier.Circuit.Nodes[node].Name;

    private void Unknown(Cell name, string what, IEnumerable<string> candidates)
    {
        if (name.IsBlank)
        {
            diagnostics.Error(name.Where, $"the name of a {what} is missing here", null);
            return;
        }
        // V9 was hardly meant to be C9: names that begin alike come first.
        var all = candidates.ToArray();
        var alike = all.Where(candidate =>
            candidate.StartsWith(name.Text[..1], StringComparison.OrdinalIgnoreCase)
        );
        diagnostics.Error(
            name.Where,
            $"the circuit has no {what} \"{name.Text}\"",
            Suggestions.DidYouMean(name.Text, alike) ?? Suggestions.DidYouMean(name.Text, all)
        );
    }
}

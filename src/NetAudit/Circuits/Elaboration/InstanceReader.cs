using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads X cards: connects a subcircuit's ports, sets its parameters, and reads its body in a scope of its own.</summary>
internal sealed class InstanceReader(
    ElaborationState state,
    ExpressionResolver expressions,
    DefinitionReader definitions,
    ElementReader elements
)
{
    private const int DeepestNesting = 40;

    private readonly List<SubcircuitDefinition> open = [];

    /// <summary>X name node … subcircuit [PARAMS:] [name=value …].</summary>
    public void Read(ElementCard card)
    {
        var fields = ConnectionFields(card.Card);
        if (fields.Count == 0)
        {
            card.Complain(
                card.Card.Fields[0],
                $"{card.Card.Name} needs nodes and the name of a subcircuit"
            );
            return;
        }
        var nameField = fields[^1];
        if (card.Scope.FindSubcircuit(nameField.Word) is not { } slot)
        {
            ComplainUnknown(card, fields);
            return;
        }
        slot.IsUsed = true;
        var ports = slot.Definition.Ports;
        if (fields.Count - 1 != ports.Length)
        {
            ComplainCount(card, nameField, ports, fields.Count - 1);
            return;
        }
        if (open.Contains(slot.Definition))
        {
            card.Complain(
                nameField,
                $"subcircuit {slot.Definition.Name} contains itself, directly or through others"
            );
            return;
        }
        if (open.Count >= DeepestNesting)
        {
            card.Complain(nameField, $"subcircuits are nested more than {DeepestNesting} deep");
            return;
        }
        CheckMultiplicity(card);
        var scope = Connect(card, slot, fields);
        SetParameters(card, slot, scope);
        var cards = definitions.Collect(slot.Definition.Body, scope);
        open.Add(slot.Definition);
        elements.ReadAll(cards, scope);
        open.RemoveAt(open.Count - 1);
    }

    private Scope Connect(ElementCard card, SubcircuitSlot slot, List<Field> fields)
    {
        var definition = slot.Definition;
        // A subcircuit inside a device would be a block in a part: the device rule says it has none, so the outer device stays.
        var device =
            card.Scope.Device
            ?? (
                definition.IsDevice
                    ? new DeviceScope(card.FullName, new(StringComparer.OrdinalIgnoreCase))
                    : null
            );
        var scope = new Scope(slot.Scope, card.FullName + ".") { Device = device };
        var ports = new (string Port, int Node)[definition.Ports.Length];
        for (var i = 0; i < ports.Length; i++)
        {
            var port = definition.Header.Slice(
                definition.Ports[i].Start,
                definition.Ports[i].HeadEnd
            );
            var node = card.NodeAt(fields[i]);
            ports[i] = (port, node);
            state.Ends[node]++;
            if (port is "0" || port.Equals("gnd", StringComparison.OrdinalIgnoreCase))
            {
                state.Report(
                    Severity.Error,
                    definition.Header,
                    definition.Ports[i],
                    $"{port} is chassis everywhere and cannot be a port",
                    "give the port another name"
                );
                continue;
            }
            if (!scope.Nodes.TryAdd(port, node))
            {
                state.Report(
                    Severity.Error,
                    definition.Header,
                    definition.Ports[i],
                    $"{port} is twice a port of {definition.Name}"
                );
                continue;
            }
            if (definition.IsDevice && card.Scope.Device is null)
            {
                device!.Pins[port] = state.Pins.Count;
                state.Pins.Add(new Pin(state.Pins.Count, card.FullName, port, node));
            }
        }
        state.Instances.Add(
            new Instance(
                card.FullName,
                definition.Name,
                [.. ports],
                card.Card.Where,
                definition.IsDevice
            )
        );
        return scope;
    }

    private static void SetParameters(ElementCard card, SubcircuitSlot slot, Scope scope)
    {
        var header = slot.Definition.Header;
        var known = new List<string>();
        foreach (var (name, value) in ValueText.Assignments(header, slot.Definition.Defaults, 0))
        {
            var word = ParameterName(name);
            known.Add(word);
            if (value is { } text)
            {
                scope.Add(word, new ParameterSlot(word, text, scope));
            }
        }
        foreach (var (name, value) in ValueText.Assignments(card.Card, card.Card.Fields, 1))
        {
            var word = ParameterName(name);
            if (value is not { } text)
            {
                card.Complain(name, $"parameter {word} has no value");
                continue;
            }
            if (word.Equals("m", StringComparison.OrdinalIgnoreCase) && !known.Contains("m"))
            {
                continue;
            }
            if (
                !known.Contains(word, StringComparer.OrdinalIgnoreCase)
                && !DefinesParameter(slot.Definition, word)
            )
            {
                card.Warn(
                    name,
                    $"subcircuit {slot.Definition.Name} has no parameter {word}",
                    Suggestions.DidYouMean(word, known)
                );
            }
            // The value is worked out where the card stands, not inside the subcircuit.
            scope.Add(word, new ParameterSlot(word, text, card.Scope));
        }
    }

    private void CheckMultiplicity(ElementCard card)
    {
        if (
            card.Assigned("m") is { } field
            && expressions.Evaluate(ValueText.Of(card.Card, field), card.Scope) is not (null or 1)
        )
        {
            card.Warn(
                field,
                "m= of a subcircuit instance is passed over",
                "write the instances one by one"
            );
        }
    }

    /// <summary>Fields up to the parameters.</summary>
    private static List<Field> ConnectionFields(Card card)
    {
        var fields = new List<Field>();
        foreach (var field in card.Fields.AsSpan(1))
        {
            if (field.IsAssignment || SubcircuitDefinition.IsParameterMark(field))
            {
                break;
            }
            fields.Add(field);
        }
        return fields;
    }

    /// <summary>Some write the mark without a blank: <c>PARAMS:MU=100</c>.</summary>
    private static string ParameterName(Field field)
    {
        const string mark = "params:";
        return field.Word.StartsWith(mark, StringComparison.OrdinalIgnoreCase)
            ? field.Word[mark.Length..]
            : field.Word;
    }

    private static bool DefinesParameter(SubcircuitDefinition definition, string name) =>
        definition
            .Body.OfType<Card>()
            .Where(card => card.Is(".param"))
            .Any(card => card.Fields.Any(field => field.IsAssignment && field.Is(name)));

    private static void ComplainUnknown(ElementCard card, List<Field> fields)
    {
        var last = fields[^1];
        var earlier = fields.FindIndex(field => card.Scope.FindSubcircuit(field.Word) is not null);
        if (earlier >= 0)
        {
            card.Complain(
                fields[earlier + 1],
                $"{card.Card.Slice(fields[earlier + 1].Start, last.End)} stands after the subcircuit's name {fields[earlier].Word}",
                "nodes come before the name; parameters are written name=value"
            );
            return;
        }
        var name = card.Card.Slice(last.Start, last.HeadEnd);
        var mend = Suggestions.DidYouMean(name, card.Scope.SubcircuitNames);
        card.Complain(
            last,
            mend is null && card.Scope.Nodes.ContainsKey(name)
                ? $"{card.Card.Name} ends with node {name}, where the name of a subcircuit should stand"
                : $"unknown subcircuit {name}",
            mend
        );
    }

    private static void ComplainCount(ElementCard card, Field name, Field[] ports, int count)
    {
        var list = string.Join(' ', ports.Select(port => port.Word));
        card.Complain(
            name,
            $"{name.Word} has {ports.Length} pin{(ports.Length == 1 ? "" : "s")} ({list}), but {card.Card.Name} connects {count}",
            count < ports.Length
                ? $"a pin is missing: give a node for each of {list}"
                : $"give one node for each of {list}"
        );
    }
}

using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>An element's card while it is read: its fields in order, its assignments, its terminals and numbers.</summary>
internal sealed class ElementCard
{
    private readonly ElaborationState state;
    private readonly ExpressionResolver expressions;
    private readonly List<string> used = [];

    /// <param name="state">What the reading gathers.</param>
    /// <param name="expressions">Works out values.</param>
    /// <param name="card">The card.</param>
    /// <param name="scope">Where it stands.</param>
    public ElementCard(
        ElaborationState state,
        ExpressionResolver expressions,
        Card card,
        Scope scope
    )
    {
        this.state = state;
        this.expressions = expressions;
        Card = card;
        Scope = scope;
        FullName = scope.Path + card.Name;
        var count = 0;
        foreach (var field in card.Fields.AsSpan(1))
        {
            count += field.IsAssignment ? 0 : 1;
        }
        Positional = new Field[count];
        count = 0;
        foreach (var field in card.Fields.AsSpan(1))
        {
            if (!field.IsAssignment)
            {
                Positional[count++] = field;
            }
        }
    }

    /// <summary>The card.</summary>
    public Card Card { get; }

    /// <summary>Where it stands.</summary>
    public Scope Scope { get; }

    /// <summary>Hierarchical name.</summary>
    public string FullName { get; }

    /// <summary>The fields without <c>=</c> after the name.</summary>
    public Field[] Positional { get; }

    /// <summary>False, with an error, when there are fewer fields than that.</summary>
    public bool Has(int count, string needs)
    {
        if (Positional.Length >= count)
        {
            return true;
        }
        var has = Positional.Length switch
        {
            0 => "nothing follows its name",
            1 => "only one field follows its name",
            var some => $"only {some} fields follow its name",
        };
        Complain(Card.Fields[0], $"{Card.Name} needs {needs}; {has}");
        return false;
    }

    /// <summary>The end of the element at a field that names a node, with a pin of that name unless it lies inside a device.</summary>
    public Terminal Terminal(Field node, string pinName)
    {
        var name = NodeName(node);
        var index = NodeAt(node);
        if (Scope.Device is { } device)
        {
            return new Terminal(index, device.Pins.GetValueOrDefault(name, -1));
        }
        state.Pins.Add(new Pin(state.Pins.Count, FullName, pinName, index));
        return new Terminal(index, state.Pins.Count - 1);
    }

    /// <summary>The first two fields as ends named 1 and 2.</summary>
    public Terminal[] TwoTerminals(string first = "1", string second = "2") =>
        [Terminal(Positional[0], first), Terminal(Positional[1], second)];

    /// <summary>The node that a field names, made when new.</summary>
    public int NodeAt(Field field)
    {
        var name = NodeName(field);
        var index = state.Node(Scope, name);
        if (index > 0 && Scope.Parent is null && state.Nodes[index].Name != name)
        {
            state.NoteSpelling(index, name, Card.Where);
        }
        return index;
    }

    /// <summary>A field's text where a node is meant.</summary>
    public string NodeName(Field field) => Card.Slice(field.Start, field.HeadEnd);

    /// <summary>The number a field holds; null when it is none, which is then reported.</summary>
    public double? Number(Field field) => expressions.Evaluate(ValueText.Of(Card, field), Scope);

    /// <summary>The field behind <c>name=</c>, or null.</summary>
    public Field? Assigned(string name)
    {
        used.Add(name);
        foreach (var field in Card.Fields)
        {
            if (field.IsAssignment && field.Is(name))
            {
                return field.Value;
            }
        }
        return null;
    }

    /// <summary>The number behind <c>name=</c>; <paramref name="otherwise"/> when the card does not have it; null when it is wrong.</summary>
    public double? Number(string name, double otherwise) =>
        Assigned(name) is { } field ? Number(field) : otherwise;

    /// <summary>Index of the element that a field names, which must be of a kind; -1 when it is not, which is then reported. Call when all elements are known.</summary>
    public int Element(Field field, string kind, Func<Element, bool> isKind) =>
        Element(
            NodeName(field),
            new ValueText(Card.Text, field.Start, field.HeadEnd),
            kind,
            isKind
        );

    /// <summary>As the other, for a name inside an expression.</summary>
    public int Element(string name, ValueText place, string kind, Func<Element, bool> isKind)
    {
        var index = state.FindElement(Scope, name);
        if (index >= 0 && isKind(state.Elements[index]))
        {
            return index;
        }
        if (index >= 0)
        {
            state.Report(
                Severity.Error,
                place,
                $"{name} is not {Article(kind)} {kind}",
                kind == "voltage source"
                    ? $"put a source of 0 V in series with {name} and name that"
                    : null
            );
        }
        else if (!state.Unreadable.Contains(Scope.Path + name))
        {
            state.Report(
                Severity.Error,
                place,
                $"there is no {kind} {name}",
                Suggestions.DidYouMean(
                    name,
                    state
                        .Elements.Where(element =>
                            isKind(element)
                            && element.Name.StartsWith(
                                Scope.Path,
                                StringComparison.OrdinalIgnoreCase
                            )
                        )
                        .Select(element => element.Name[Scope.Path.Length..])
                )
            );
        }
        return -1;
    }

    /// <summary>Notes once in a reading that values such as 4k7 are read otherwise elsewhere.</summary>
    public void NoteLetterCode(Field field, double value)
    {
        if (!state.HasNotedLetterCode)
        {
            state.HasNotedLetterCode = true;
            var word = Card.Slice(field.Start, field.HeadEnd);
            state.Report(
                Severity.Note,
                Card,
                field,
                $"{word} is read as {EngineeringNotation.Format(value)}; a simulator may drop what follows the letter"
            );
        }
    }

    private static string Article(string noun) =>
        "aeiou".Contains(noun[0], StringComparison.Ordinal) ? "an" : "a";

    /// <summary>True for elements whose current is known to the solver: voltage sources, voltage outputs and inductors.</summary>
    public static bool HasBranchCurrent(Element element) =>
        element
            is VoltageSource
                or Inductor
                or VoltageControlledSource { Kind: OutputKind.Voltage }
                or CurrentControlledSource { Kind: OutputKind.Voltage }
                or BehaviouralSource { Kind: OutputKind.Voltage };

    /// <summary>Warns of assignments and fields that nothing asked for.</summary>
    public void CheckRest(int positionalUsed, params ReadOnlySpan<string> tolerated)
    {
        foreach (var field in Card.Fields.AsSpan(1))
        {
            if (
                field.IsAssignment
                && !used.Contains(field.Word, StringComparer.OrdinalIgnoreCase)
                && !Contains(tolerated, field.Word)
            )
            {
                state.Report(
                    Severity.Warning,
                    Card,
                    field,
                    $"{field.Word} means nothing on this card and is passed over",
                    Suggestions.DidYouMean(field.Word, used)
                );
            }
        }
        foreach (var field in Positional.AsSpan(Math.Min(positionalUsed, Positional.Length)))
        {
            if (!Contains(tolerated, field.Word))
            {
                state.Report(
                    Severity.Warning,
                    Card,
                    field,
                    $"{Card.Slice(field.Start, field.End)} means nothing here and is passed over"
                );
            }
        }
    }

    /// <summary>Reports an error at a field.</summary>
    public void Complain(Field field, string message, string? mend = null) =>
        state.Report(Severity.Error, Card, field, message, mend);

    /// <summary>Reports a warning at a field.</summary>
    public void Warn(Field field, string message, string? mend = null) =>
        state.Report(Severity.Warning, Card, field, message, mend);

    private static bool Contains(ReadOnlySpan<string> words, string word)
    {
        foreach (var known in words)
        {
            if (known.Equals(word, StringComparison.OrdinalIgnoreCase))
            {
                return true;
            }
        }
        return false;
    }
}

using NetAudit.Common;
using NetAudit.Netlists;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads B cards, and makes the behavioural source for every other card that spells a law.</summary>
internal sealed class BehaviouralReader(ElaborationState state, ExpressionResolver expressions)
{
    private static readonly string[] Tolerated = ["tc1", "tc2", "temp", "dtemp", "m"];

    /// <summary>B name n+ n- I=law | V=law. The law may hold blanks; it ends with the card or at a known assignment.</summary>
    public void Read(ElementCard card)
    {
        if (!card.Has(2, "two nodes and I=… or V=…"))
        {
            return;
        }
        if (FindLaw(card, "v", "i") is not { } law)
        {
            card.Complain(
                card.Card.Fields[0],
                $"{card.Card.Name} has no law",
                "write I={…} for a current or V={…} for a voltage"
            );
            return;
        }
        var ends = card.TwoTerminals();
        AddLaw(card, law.Name.Is("v") ? OutputKind.Voltage : OutputKind.Current, ends, law.Text);
    }

    /// <summary>
    /// The assignment of one of these names, and its text: up to the end of the card or the next tolerated assignment. Equal signs inside
    /// the law do not end it.
    /// </summary>
    public static (Field Name, ValueText Text)? FindLaw(
        ElementCard card,
        params ReadOnlySpan<string> names
    )
    {
        var fields = card.Card.Fields;
        for (var i = 1; i < fields.Length; i++)
        {
            if (!IsOneOf(fields[i], names) || (!fields[i].IsAssignment && !HasLawBehind(fields, i)))
            {
                continue;
            }
            var first = fields[i].IsAssignment ? fields[i].Value : fields[++i];
            if (first is null)
            {
                return (fields[i], new ValueText(card.Card.Text, fields[i].End, fields[i].End));
            }
            var last = i;
            while (last + 1 < fields.Length && !IsTolerated(fields[last + 1]))
            {
                last++;
            }
            var name = fields[i].IsAssignment ? fields[i] : fields[i - 1];
            return last == i
                ? (name, ValueText.Of(card.Card, first))
                : (name, new ValueText(card.Card.Text, first.Start, fields[last].End));
        }
        return null;
    }

    /// <summary>Adds a behavioural source with the law that a text spells.</summary>
    public void AddLaw(ElementCard card, OutputKind kind, Terminal[] ends, ValueText text)
    {
        var controls = new LawControls();
        var law = expressions.ResolveLaw(text, card.Scope, controls);
        if (card.Assigned("m") is { } multiplier && kind == OutputKind.Current)
        {
            law =
                law is not null && card.Number(multiplier) is { } m
                    ? new Binary(
                        BinaryOperator.Multiply,
                        new Number(m, text.Where),
                        law,
                        text.Where
                    )
                    : null;
        }
        if (law is not null)
        {
            Add(card, kind, ends, law, controls, text);
        }
    }

    /// <summary>Adds a behavioural source whose law is known; the controls are found when all elements are known.</summary>
    public void Add(
        ElementCard card,
        OutputKind kind,
        Terminal[] ends,
        Expression law,
        LawControls controls,
        ValueText text
    )
    {
        var index = state.Add(
            new BehaviouralSource(card.FullName, kind, [.. ends], [], [], law, card.Card.Where)
            {
                Device = card.Scope.Device?.Name,
            }
        );
        ConnectLater(state, card, index, controls, text);
    }

    /// <summary>Finds what a source senses once all elements are known.</summary>
    public static void ConnectLater(
        ElaborationState state,
        ElementCard card,
        int index,
        LawControls controls,
        ValueText text
    )
    {
        if (controls.Voltages.Count + controls.Currents.Count > 0)
        {
            state.Deferred.Add(() => Connect(state, card, index, controls, text));
        }
    }

    /// <summary>Adds a table source: straight lines through points, in ascending x.</summary>
    public void AddTable(
        ElementCard card,
        OutputKind kind,
        Terminal[] ends,
        ValueText text,
        IEnumerable<double> points
    )
    {
        var controls = new LawControls();
        if (expressions.ResolveLaw(text, card.Scope, controls) is { } argument)
        {
            var where = text.Where;
            var numbers = points.Select(point => new Number(point, where));
            Add(card, kind, ends, new Call("table", [argument, .. numbers], where), controls, text);
        }
    }

    private static void Connect(
        ElaborationState state,
        ElementCard card,
        int index,
        LawControls controls,
        ValueText text
    )
    {
        var source = (BehaviouralSource)state.Elements[index];
        state.Elements[index] = source with
        {
            ControlVoltages =
            [
                .. controls.Voltages.Select(pair =>
                    (
                        Sensed(state, card, pair.Positive, text),
                        Sensed(state, card, pair.Negative ?? "0", text)
                    )
                ),
            ],
            ControlCurrents =
            [
                .. controls.Currents.Select(name =>
                    card.Element(name, text, "voltage source", ElementCard.HasBranchCurrent)
                ),
            ],
        };
    }

    private static Terminal Sensed(
        ElaborationState state,
        ElementCard card,
        string node,
        ValueText text
    )
    {
        var index = state.FindNode(card.Scope, node);
        var pin = card.Scope.Device?.Pins.GetValueOrDefault(node, -1) ?? -1;
        if (index >= 0 && (pin >= 0 || index == 0 || state.Ends[index] > 0))
        {
            return new Terminal(index, pin);
        }
        var known = card
            .Scope.Nodes.Where(pair => state.Ends[pair.Value] > 0)
            .Select(pair => pair.Key);
        state.Report(
            Severity.Error,
            text,
            $"nothing is connected to node {node}, which this law reads",
            Suggestions.DidYouMean(node, known)
        );
        return new Terminal(0, -1);
    }

    private static bool HasLawBehind(Field[] fields, int index) =>
        index + 1 < fields.Length
        && fields[index].Kind == FieldKind.Word
        && fields[index + 1].Kind == FieldKind.Expression
        && index > 2;

    private static bool IsTolerated(Field field) => field.IsAssignment && IsOneOf(field, Tolerated);

    private static bool IsOneOf(Field field, ReadOnlySpan<string> names)
    {
        foreach (var name in names)
        {
            if (field.Is(name))
            {
                return true;
            }
        }
        return false;
    }
}

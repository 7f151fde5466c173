using System.Globalization;
using NetAudit.Netlists;
using NetAudit.Netlists.Expressions;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads E, G, F and H cards: linear, polynomial, table, or a law.</summary>
internal sealed class ControlledSourceReader(ElaborationState state, BehaviouralReader behavioural)
{
    /// <summary>E and G: <c>n+ n- nc+ nc- gain</c>, <c>POLY(n) …</c>, <c>TABLE {law} = (x,y) …</c>, <c>VALUE={law}</c>, <c>VOL=</c>, <c>CUR=</c>.</summary>
    public void ReadVoltageControlled(ElementCard card)
    {
        if (!card.Has(2, "two nodes, two control nodes and a gain"))
        {
            return;
        }
        var kind =
            char.ToUpperInvariant(card.Card.Name[0]) == 'E'
                ? OutputKind.Voltage
                : OutputKind.Current;
        var ends = card.TwoTerminals();
        if (BehaviouralReader.FindLaw(card, "value", "vol", "cur", "v", "i") is { } law)
        {
            behavioural.AddLaw(card, kind, ends, law.Text);
        }
        else if (Keyword(card, "poly") is { } poly)
        {
            ReadPolynomial(card, kind, ends, poly, isCurrent: false);
        }
        else if (Keyword(card, "table") is { } table)
        {
            ReadTable(card, kind, ends, table);
        }
        else if (Keyword(card, "laplace") is { } laplace)
        {
            card.Complain(laplace, "LAPLACE sources are not known to this program");
        }
        else
        {
            ReadLinear(card, kind, ends);
        }
    }

    /// <summary>F and H: <c>n+ n- source gain</c>, <c>POLY(n) source … coefficients</c>.</summary>
    public void ReadCurrentControlled(ElementCard card)
    {
        if (!card.Has(2, "two nodes, a controlling voltage source and a gain"))
        {
            return;
        }
        var kind =
            char.ToUpperInvariant(card.Card.Name[0]) == 'H'
                ? OutputKind.Voltage
                : OutputKind.Current;
        var ends = card.TwoTerminals();
        if (BehaviouralReader.FindLaw(card, "value", "vol", "cur") is { } law)
        {
            behavioural.AddLaw(card, kind, ends, law.Text);
            return;
        }
        if (Keyword(card, "poly") is { } poly)
        {
            ReadPolynomial(card, kind, ends, poly, isCurrent: true);
            return;
        }
        if (!card.Has(4, "two nodes, a controlling voltage source and a gain"))
        {
            return;
        }
        var gain = card.Number(card.Positional[3]);
        var multiplier = card.Number("m", 1);
        card.CheckRest(4, "ic", "temp", "tc1", "tc2");
        if (gain is not { } factor || multiplier is not { } m)
        {
            return;
        }
        var index = state.Add(
            new CurrentControlledSource(
                card.FullName,
                kind,
                [.. ends],
                -1,
                kind == OutputKind.Current ? factor * m : factor,
                card.Card.Where
            )
            {
                Device = card.Scope.Device?.Name,
            }
        );
        state.Deferred.Add(() =>
            state.Elements[index] = (CurrentControlledSource)state.Elements[index] with
            {
                Control = card.Element(
                    card.Positional[2],
                    "voltage source",
                    ElementCard.HasBranchCurrent
                ),
            }
        );
    }

    private void ReadLinear(ElementCard card, OutputKind kind, Terminal[] ends)
    {
        // The control nodes may stand in parentheses: E1 1 0 (3,4) 10.
        var fields = ControlFields(card.Positional, 2);
        if (fields.Count < 3)
        {
            card.Complain(
                card.Card.Fields[0],
                $"{card.Card.Name} needs two nodes, two control nodes and a gain; {(fields.Count == 2 ? "the gain" : "a control node")} is missing"
            );
            return;
        }
        var gain = card.Number(fields[2]);
        var multiplier = card.Number("m", 1);
        Terminal[] controls = [card.Terminal(fields[0], "3"), card.Terminal(fields[1], "4")];
        card.CheckRest(fields.Count > 3 ? 5 : int.MaxValue, "ic", "temp", "tc1", "tc2");
        if (gain is not { } factor || multiplier is not { } m)
        {
            return;
        }
        state.Add(
            new VoltageControlledSource(
                card.FullName,
                kind,
                [.. ends],
                [.. controls],
                kind == OutputKind.Current ? factor * m : factor,
                card.Card.Where
            )
            {
                Device = card.Scope.Device?.Name,
            }
        );
    }

    private void ReadPolynomial(
        ElementCard card,
        OutputKind kind,
        Terminal[] ends,
        Field poly,
        bool isCurrent
    )
    {
        var place = new ValueText(card.Card.Text, poly.Start, poly.End);
        var fields = ControlFields(card.Positional, Array.IndexOf(card.Positional, poly) + 1);
        Field? count = poly.Inner.Length > 0 ? poly.Inner[0] : null;
        if (count is null || card.Number(count) is not { } given)
        {
            card.Complain(poly, "POLY needs the number of its controls: POLY(1)");
            return;
        }
        var controlCount =
            given is >= 1 and <= Polynomial.MostControls && given == Math.Floor(given)
                ? (int)given
                : 0;
        if (controlCount == 0)
        {
            card.Complain(poly, $"POLY takes 1 to {Polynomial.MostControls} controls");
            return;
        }
        var names = controlCount * (isCurrent ? 1 : 2);
        if (fields.Count <= names)
        {
            card.Complain(
                poly,
                $"POLY({controlCount}) needs {names} {(isCurrent ? "controlling sources" : "control nodes")} and at least one coefficient"
            );
            return;
        }
        var controls = new LawControls();
        var variables = new Expression[controlCount];
        for (var i = 0; i < controlCount; i++)
        {
            variables[i] = isCurrent
                ? new ControlCurrent(controls.Current(fields[i].Word), place.Where)
                : new ControlVoltage(
                    controls.Voltage(
                        card.NodeName(fields[2 * i]),
                        card.NodeName(fields[2 * i + 1])
                    ),
                    place.Where
                );
        }
        var coefficients = new List<double>();
        foreach (var field in fields.Skip(names))
        {
            if (card.Number(field) is not { } coefficient)
            {
                return;
            }
            coefficients.Add(coefficient);
        }
        if (coefficients.Count == 1)
        {
            card.Warn(
                poly,
                "a single coefficient is a constant, not a gain",
                $"write 0 before it for a gain: 0 {coefficients[0].ToString("R", CultureInfo.InvariantCulture)}"
            );
        }
        var law = Polynomial.Law(variables, coefficients, place.Where);
        if (law is null)
        {
            card.Complain(poly, "this polynomial has too many terms");
            return;
        }
        behavioural.Add(card, kind, ends, law, controls, place);
    }

    private void ReadTable(ElementCard card, OutputKind kind, Terminal[] ends, Field table)
    {
        // TABLE {law} = (x,y) (x,y): the first pair is the value of an assignment whose name is the law.
        var fields = card.Card.Fields;
        var at = Array.IndexOf(fields, table) + 1;
        var lawField = table.Kind == FieldKind.Group ? null : fields.ElementAtOrDefault(at++);
        var text = lawField is null
            ? new ValueText(card.Card.Text, table.Start + table.Word.Length + 1, table.HeadEnd - 1)
            : ValueText.Of(card.Card, lawField);
        var numbers = new List<Field>();
        Flatten((lawField ?? table).Value, numbers);
        foreach (var field in fields.AsSpan(Math.Min(at, fields.Length)))
        {
            Flatten(field, numbers);
        }
        if (numbers.Count < 2 || numbers.Count % 2 != 0)
        {
            card.Complain(table, "TABLE needs an expression and pairs: TABLE {V(1)} = (0,0) (1,5)");
            return;
        }
        var points = numbers.Select(card.Number).ToList();
        if (points.Contains(null))
        {
            return;
        }
        for (var i = 2; i < points.Count; i += 2)
        {
            if (!(points[i] > points[i - 2]))
            {
                card.Complain(numbers[i], "the x values of a table must ascend");
                return;
            }
        }
        behavioural.AddTable(card, kind, ends, text, points.Select(point => point!.Value));
    }

    private static void Flatten(Field? field, List<Field> numbers)
    {
        if (field is { Kind: FieldKind.Group, Word: "" })
        {
            foreach (var inner in field.Inner)
            {
                Flatten(inner, numbers);
            }
        }
        else if (field is not null)
        {
            numbers.Add(field);
        }
    }

    private static List<Field> ControlFields(Field[] positional, int first)
    {
        var fields = new List<Field>();
        foreach (var field in positional.AsSpan(Math.Min(first, positional.Length)))
        {
            Flatten(field, fields);
        }
        return fields;
    }

    private static Field? Keyword(ElementCard card, string word) =>
        Array.Find(
            card.Card.Fields,
            field => field.Start > card.Positional[1].Start && field.Is(word)
        );
}

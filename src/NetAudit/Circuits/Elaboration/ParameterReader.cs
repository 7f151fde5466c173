using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads cards that define parameters and functions.</summary>
internal sealed class ParameterReader(ElaborationState state)
{
    /// <summary>Reads <c>.param name=value …</c>, and <c>.param f(x)=…</c> as a function.</summary>
    public void ReadParameters(Card card, Scope scope)
    {
        if (card.Fields.Length < 2 || !card.Fields[1].IsAssignment)
        {
            Complain(
                card,
                card.Fields[Math.Min(1, card.Fields.Length - 1)],
                $"{card.Name} needs name = value"
            );
            return;
        }
        foreach (var (name, value) in ValueText.Assignments(card, card.Fields, 1))
        {
            if (value is not { } text)
            {
                Complain(card, name, $"parameter {name.Word} has no value");
            }
            else if (name.Kind == FieldKind.Group)
            {
                AddFunction(card, name, text, scope);
            }
            else if (name.Kind != FieldKind.Word || !IsName(name.Word))
            {
                Complain(
                    card,
                    name,
                    $"{card.Slice(name.Start, name.HeadEnd)} cannot be a parameter's name"
                );
            }
            else
            {
                AddParameter(card, name, text, scope);
            }
        }
    }

    private void AddParameter(Card card, Field name, ValueText text, Scope scope)
    {
        var isTop = scope.Parent is null;
        if (isTop && state.Overrides.TryGetValue(name.Word, out var given))
        {
            state.UsedOverrides.Add(name.Word);
            scope.Add(name.Word, ParameterSlot.Fixed(name.Word, given, text, scope));
            return;
        }
        if (scope.OwnParameter(name.Word) is { } known)
        {
            if (known.Scope != scope)
            {
                // The X card gave it: that value stays.
                return;
            }
            if (isTop)
            {
                state.Report(
                    Severity.Warning,
                    card,
                    name,
                    $"parameter {name.Word} was given before; this value counts"
                );
            }
        }
        scope.Add(name.Word, new ParameterSlot(name.Word, text, scope));
    }

    /// <summary>Reads <c>.func f(x,y) {…}</c>, with or without an equal sign.</summary>
    public void ReadFunction(Card card, Scope scope)
    {
        var fields = card.Fields;
        var bodyFirst = 2;
        var head = fields.Length > 1 ? fields[1] : null;
        if (
            head is { Kind: FieldKind.Word, IsAssignment: false }
            && fields.Length > 2
            && fields[2] is { Kind: FieldKind.Group, Word: "" } arguments
        )
        {
            // .func f (x) {...}: a blank between name and arguments.
            head = arguments with
            {
                Word = head.Word,
                Start = head.Start,
            };
            bodyFirst = 3;
        }
        if (head is not { Kind: FieldKind.Group } || !IsName(head.Word))
        {
            Complain(
                card,
                fields[0],
                ".func needs a name, arguments and an expression: .func f(x) {x*x}"
            );
            return;
        }
        if (head.Value is not null)
        {
            AddFunction(
                card,
                head,
                bodyFirst < fields.Length
                    ? new ValueText(card.Text, head.Value.Start, fields[^1].End)
                    : ValueText.Of(card, head.Value),
                scope
            );
        }
        else if (fields.Length <= bodyFirst)
        {
            Complain(card, head, $"function {head.Word} has no expression");
        }
        else
        {
            AddFunction(
                card,
                head,
                fields.Length == bodyFirst + 1 && !fields[bodyFirst].IsAssignment
                    ? ValueText.Of(card, fields[bodyFirst])
                    : new ValueText(card.Text, fields[bodyFirst].Start, fields[^1].End),
                scope
            );
        }
    }

    private void AddFunction(Card card, Field head, ValueText body, Scope scope)
    {
        var parameters = head.Inner.Select(field => field.Word).ToArray();
        if (!scope.Add(head.Word, new FunctionDefinition(head.Word, parameters, body, scope)))
        {
            state.Report(
                Severity.Warning,
                card,
                head,
                $"function {head.Word} was defined before; the first definition counts"
            );
        }
    }

    private static bool IsName(string word) =>
        word.Length > 0 && (char.IsLetter(word[0]) || word[0] is '_' or '@' or '$');

    private void Complain(Card card, Field field, string message) =>
        state.Report(Severity.Error, card, field, message);
}

using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>
/// Reads what defines names in a scope: parameters, functions, models, subcircuits, global nodes; follows includes and library sections;
/// chooses the branches of <c>.if</c>. What is left are the cards that make elements, in order.
/// </summary>
internal sealed class DefinitionReader(ElaborationState state, ExpressionResolver expressions)
{
    private const int DeepestInclude = 20;
    private const int MostIncludes = 200;

    private readonly List<string> open = [];
    private int includes;

    /// <summary>Defines everything in the items and gives the other cards in order.</summary>
    public List<Card> Collect(IReadOnlyList<NetlistItem> items, Scope scope)
    {
        // Unconditional definitions come first, wherever they stand: a condition may use a parameter defined further down.
        var unconditional = new List<NetlistItem>();
        Define(items, scope, unconditional);
        expressions.FollowInOrder(scope);
        var cards = new List<Card>(unconditional.Count);
        Choose(unconditional, scope, cards);
        return cards;
    }

    private void Define(IReadOnlyList<NetlistItem> items, Scope scope, List<NetlistItem> rest)
    {
        foreach (var item in items)
        {
            switch (item)
            {
                case SubcircuitDefinition definition:
                    DefineSubcircuit(definition, scope);
                    break;
                case Card card when card.Fault is { } fault:
                    state.Diagnostics.Add(
                        Severity.Error,
                        card.Text,
                        fault.Start,
                        fault.End,
                        fault.Message,
                        fault.Mend
                    );
                    ReserveName(card, scope);
                    break;
                case Card { IsDotCard: true } card:
                    DefineCard(card, scope, rest);
                    break;
                case LibrarySection:
                    // Sections count only when a .lib card asks for them.
                    break;
                default:
                    rest.Add(item);
                    break;
            }
        }
    }

    private void DefineCard(Card card, Scope scope, List<NetlistItem> rest)
    {
        switch (card.Name.ToLowerInvariant())
        {
            case ".param" or ".params" or ".parameter":
                DefineParameters(card, scope);
                break;
            case ".func":
                DefineFunction(card, scope);
                break;
            case ".model":
                DefineModel(card, scope);
                break;
            case ".global":
                foreach (var field in card.Fields.AsSpan(1))
                {
                    state.Globals.Add(field.Word);
                }
                break;
            case ".include" or ".inc" or ".incl" or ".lib":
                Include(card, scope, rest);
                break;
            default:
                rest.Add(card);
                break;
        }
    }

    private void Choose(List<NetlistItem> items, Scope scope, List<Card> cards)
    {
        foreach (var item in items)
        {
            if (item is Card card)
            {
                cards.Add(card);
            }
            else if (item is Choice choice && ChosenBranch(choice, scope) is { } branch)
            {
                var inner = new List<NetlistItem>();
                Define(branch, scope, inner);
                Choose(inner, scope, cards);
            }
        }
    }

    private NetlistItem[]? ChosenBranch(Choice choice, Scope scope)
    {
        foreach (var (condition, items) in choice.Branches)
        {
            if (condition.Is(".else"))
            {
                return items;
            }
            if (condition.Fields.Length < 2)
            {
                Complain(condition, condition.Fields[0], $"{condition.Name} needs a condition");
                return null;
            }
            var text =
                condition.Fields.Length == 2
                    ? ValueText.Of(condition, condition.Fields[1])
                    : new ValueText(
                        condition.Text,
                        condition.Fields[1].Start,
                        condition.Fields[^1].End
                    );
            // An unknown condition chooses nothing, and has been reported.
            if (expressions.Evaluate(text, scope) is not { } value)
            {
                return null;
            }
            if (value != 0)
            {
                return items;
            }
        }
        return null;
    }

    private void DefineParameters(Card card, Scope scope)
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

    private void DefineFunction(Card card, Scope scope)
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

    private void DefineModel(Card card, Scope scope)
    {
        if (card.Fields.Length < 3)
        {
            Complain(
                card,
                card.Fields[0],
                ".model needs a name and a kind: .model NAME NPN (BF=100)"
            );
            return;
        }
        var name = card.Fields[1];
        if (!scope.Add(name.Word, new ModelSlot(card, scope)) && !IsSame(card, scope, name.Word))
        {
            state.Report(
                Severity.Warning,
                card,
                name,
                $"model {name.Word} was defined before; the first definition counts"
            );
        }
    }

    private static bool IsSame(Card card, Scope scope, string name) =>
        ReferenceEquals(scope.FindModel(name)?.Card, card);

    private void DefineSubcircuit(SubcircuitDefinition definition, Scope scope)
    {
        var header = definition.Header;
        if (header.Fault is { } fault)
        {
            state.Diagnostics.Add(
                Severity.Error,
                header.Text,
                fault.Start,
                fault.End,
                fault.Message,
                fault.Mend
            );
        }
        if (definition.Name.Length == 0)
        {
            Complain(header, header.Fields[0], ".subckt needs a name and its ports");
            return;
        }
        if (
            !scope.Add(definition.Name, new SubcircuitSlot(definition, scope))
            && scope.FindSubcircuit(definition.Name) is { } first
            && !ReferenceEquals(first.Definition, definition)
        )
        {
            state.Report(
                Severity.Warning,
                header,
                header.Fields[1],
                $"subcircuit {definition.Name} was defined before, at {first.Definition.Header.Where}; the first definition counts"
            );
        }
    }

    private void Include(Card card, Scope scope, List<NetlistItem> rest)
    {
        if (card.Fields.Length < 2)
        {
            Complain(card, card.Fields[0], $"{card.Name} needs a file name");
            return;
        }
        var field = card.Fields[1];
        var name = field.Kind is FieldKind.Text or FieldKind.Expression
            ? field.Word
            : card.Slice(field.Start, field.End);
        var found = state.Library.Find(name, card.Text.Folder);
        if (found.File is not { } file)
        {
            Complain(card, field, found.Problem!, found.Mend);
            return;
        }
        if (open.Contains(found.Identity))
        {
            Complain(card, field, $"{name} includes itself, directly or through others");
            return;
        }
        if (open.Count >= DeepestInclude || ++includes > MostIncludes)
        {
            Complain(
                card,
                field,
                $"includes go deeper than {DeepestInclude} or are more than {MostIncludes}"
            );
            return;
        }
        state.CancellationToken.ThrowIfCancellationRequested();
        foreach (var diagnostic in file.Diagnostics)
        {
            state.Diagnostics.Add(diagnostic);
        }
        open.Add(found.Identity);
        var section = card.Is(".lib") && card.Fields.Length > 2 ? card.Fields[2] : null;
        if (section is null)
        {
            Define(file.Items, scope, rest);
        }
        else if (FindSection(file, section.Word) is { } items)
        {
            Define(items, scope, rest);
        }
        else
        {
            Complain(
                card,
                section,
                $"{name} has no section {section.Word}",
                Suggestions.DidYouMean(
                    section.Word,
                    file.Items.OfType<LibrarySection>().Select(known => known.Name)
                )
            );
        }
        open.RemoveAt(open.Count - 1);
    }

    private static NetlistItem[]? FindSection(NetlistFile file, string name) =>
        file
            .Items.OfType<LibrarySection>()
            .FirstOrDefault(section =>
                section.Name.Equals(name, StringComparison.OrdinalIgnoreCase)
            )
            ?.Items;

    /// <summary>An element whose card cannot be read still exists: what refers to it is not to be called unknown.</summary>
    private void ReserveName(Card card, Scope scope)
    {
        if (!card.IsDotCard)
        {
            state.Unreadable.Add(scope.Path + card.Name);
        }
    }

    private static bool IsName(string word) =>
        word.Length > 0 && (char.IsLetter(word[0]) || word[0] is '_' or '@' or '$');

    private void Complain(Card card, Field field, string message, string? mend = null) =>
        state.Report(Severity.Error, card, field, message, mend);
}

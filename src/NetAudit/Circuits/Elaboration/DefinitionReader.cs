using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>
/// Reads what defines names in a scope: parameters, functions, models, subcircuits, global nodes; follows includes and library sections;
/// chooses the branches of <c>.if</c>. What is left are the cards that make elements, in order.
/// </summary>
internal sealed class DefinitionReader(ElaborationState state, ExpressionResolver expressions)
{
    private readonly ParameterReader parameters = new(state);
    private readonly IncludeReader includes = new(state);

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
                parameters.ReadParameters(card, scope);
                break;
            case ".func":
                parameters.ReadFunction(card, scope);
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
                includes.Read(card, items => Define(items, scope, rest));
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

    /// <summary>An element whose card cannot be read still exists: what refers to it is not to be called unknown.</summary>
    private void ReserveName(Card card, Scope scope)
    {
        if (!card.IsDotCard)
        {
            state.Unreadable.Add(scope.Path + card.Name);
        }
    }

    private void Complain(Card card, Field field, string message, string? mend = null) =>
        state.Report(Severity.Error, card, field, message, mend);
}

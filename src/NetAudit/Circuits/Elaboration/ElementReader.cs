using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads the cards of one scope in order and hands each to the reader of its family.</summary>
internal sealed class ElementReader
{
    private readonly ElaborationState state;
    private readonly PassiveReader passives;
    private readonly SourceReader sources;
    private readonly ControlledSourceReader controlled;
    private readonly BehaviouralReader behavioural;
    private readonly SwitchReader switches;
    private readonly SemiconductorReader semiconductors;
    private readonly InstanceReader instances;
    private readonly ControlCardReader controls;
    private readonly ExpressionResolver expressions;

    /// <param name="state">What the reading gathers.</param>
    /// <param name="expressions">Works out values.</param>
    /// <param name="definitions">Reads the bodies of subcircuits.</param>
    public ElementReader(
        ElaborationState state,
        ExpressionResolver expressions,
        DefinitionReader definitions
    )
    {
        this.state = state;
        this.expressions = expressions;
        var models = new ModelReader(state, expressions);
        passives = new PassiveReader(state, models);
        sources = new SourceReader(state);
        behavioural = new BehaviouralReader(state, expressions);
        controlled = new ControlledSourceReader(state, behavioural);
        switches = new SwitchReader(state, models);
        semiconductors = new SemiconductorReader(state, models);
        instances = new InstanceReader(state, expressions, definitions, this);
        controls = new ControlCardReader(state, expressions);
    }

    /// <summary>Reads the cards of a scope.</summary>
    public void ReadAll(IReadOnlyList<Card> cards, Scope scope)
    {
        // The temperature applies to every element, wherever its card stands.
        foreach (var card in cards)
        {
            if (card.IsDotCard)
            {
                controls.Read(card, scope);
            }
        }
        var names = new Dictionary<string, Card>(cards.Count, StringComparer.OrdinalIgnoreCase);
        foreach (var card in cards)
        {
            if (state.Diagnostics.IsFull)
            {
                return;
            }
            if (!card.IsDotCard && state.CheckSize(card) && IsNew(card, names))
            {
                Read(card, scope);
            }
        }
    }

    private void Read(Card card, Scope scope)
    {
        state.CancellationToken.ThrowIfCancellationRequested();
        var element = new ElementCard(state, expressions, card, scope);
        var before = state.Elements.Count;
        switch (card.Name.Length > 0 ? char.ToUpperInvariant(card.Name[0]) : ' ')
        {
            case 'R':
                passives.ReadResistor(element);
                break;
            case 'C':
                passives.ReadCapacitor(element);
                break;
            case 'L':
                passives.ReadInductor(element);
                break;
            case 'K':
                passives.ReadCoupling(element);
                break;
            case 'V' or 'I':
                sources.Read(element);
                break;
            case 'E' or 'G':
                controlled.ReadVoltageControlled(element);
                break;
            case 'F' or 'H':
                controlled.ReadCurrentControlled(element);
                break;
            case 'B':
                behavioural.Read(element);
                break;
            case 'D':
                semiconductors.ReadDiode(element);
                break;
            case 'Q':
                semiconductors.ReadBipolar(element);
                break;
            case 'J':
                semiconductors.ReadJunctionFet(element);
                break;
            case 'M':
                semiconductors.ReadMosFet(element);
                break;
            case 'S' or 'W':
                switches.Read(element);
                break;
            case 'X':
                instances.Read(element);
                return;
            default:
                element.Complain(
                    card.Fields[0],
                    $"{card.Slice(card.Fields[0].Start, card.Fields[0].HeadEnd)} is not an element this program knows",
                    "an element's name starts with R C L K V I E F G H B D Q J M S W or X"
                );
                break;
        }
        if (state.Elements.Count == before)
        {
            state.Unreadable.Add(element.FullName);
        }
    }

    private bool IsNew(Card card, Dictionary<string, Card> names)
    {
        if (names.TryAdd(card.Name, card))
        {
            return true;
        }
        state.Report(
            Severity.Error,
            card,
            card.Fields[0],
            $"{card.Name} is already the name of the element at {names[card.Name].Where}",
            "give one of them another name"
        );
        return false;
    }
}

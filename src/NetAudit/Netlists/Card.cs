using NetAudit.Common;

namespace NetAudit.Netlists;

/// <summary>A thing in the body of a netlist or subcircuit, in source order.</summary>
internal abstract class NetlistItem;

/// <summary>One card: its first field is its name, the others its fields. Immutable.</summary>
internal sealed class Card : NetlistItem
{
    /// <param name="text">The logical text the fields point into.</param>
    /// <param name="fields">All fields, the name first.</param>
    /// <param name="fault">What the grammar says against it, or null.</param>
    public Card(LogicalText text, Field[] fields, CardFault? fault)
    {
        Text = text;
        Fields = fields;
        Fault = fault;
        Name = fields[0].Word;
        Where = text.SpanAt(fields[0].Start, fields[0].HeadEnd);
    }

    /// <summary>What the grammar says against a card. A card with a fault is not read further.</summary>
    public sealed record CardFault(int Start, int End, string Message, string? Mend);

    /// <summary>The logical text the fields point into.</summary>
    public LogicalText Text { get; }

    /// <summary>All fields, the name first.</summary>
    public Field[] Fields { get; }

    /// <summary>What the grammar says against it, or null.</summary>
    public CardFault? Fault { get; }

    /// <summary>The first word: an element's name, or a dot and a keyword.</summary>
    public string Name { get; }

    /// <summary>Where the name stands.</summary>
    public SourceSpan Where { get; }

    /// <summary>True for <c>.model</c> and its like.</summary>
    public bool IsDotCard => Name.StartsWith('.');

    /// <summary>The source text of a field's part.</summary>
    public string Slice(int start, int end) => Text.Text[start..end];

    /// <summary>True when the card's first word is that one, whatever its case.</summary>
    public bool Is(string name) => Name.Equals(name, StringComparison.OrdinalIgnoreCase);
}

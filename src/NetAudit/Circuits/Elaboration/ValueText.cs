using NetAudit.Common;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Where the text of a number or expression stands: from <paramref name="Start"/> up to <paramref name="End"/>, without braces.</summary>
internal readonly record struct ValueText(LogicalText Source, int Start, int End)
{
    /// <summary>The text.</summary>
    public ReadOnlySpan<char> Span => Source.Text.AsSpan(Start, End - Start);

    /// <summary>The place in the file.</summary>
    public SourceSpan Where => Source.SpanAt(Start, End);

    /// <summary>The value that a field holds in front of any <c>=</c>.</summary>
    public static ValueText Of(Card card, Field field) =>
        field.Kind is FieldKind.Expression or FieldKind.Text
            ? new ValueText(card.Text, field.Start + 1, field.HeadEnd - 1)
            : new ValueText(card.Text, field.Start, field.HeadEnd);

    /// <summary>
    /// The name and value of each assignment among the fields. Fields without <c>=</c> after an assignment go on with its expression
    /// (<c>a = b + 1</c>). What stands before the first assignment is passed over.
    /// </summary>
    public static IEnumerable<(Field Name, ValueText? Value)> Assignments(
        Card card,
        IReadOnlyList<Field> fields,
        int first
    )
    {
        for (var i = first; i < fields.Count; i++)
        {
            if (!fields[i].IsAssignment)
            {
                continue;
            }
            var name = fields[i];
            var last = i;
            while (last + 1 < fields.Count && !fields[last + 1].IsAssignment)
            {
                last++;
            }
            var value = name.Value is null ? (ValueText?)null : Of(card, name.Value);
            if (last > i && name.Value is not null)
            {
                value = new ValueText(card.Text, name.Value.Start, fields[last].End);
            }
            yield return (name, value);
            i = last;
        }
    }
}

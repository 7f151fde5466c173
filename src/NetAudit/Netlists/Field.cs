namespace NetAudit.Netlists;

/// <summary>How a field of a card is made.</summary>
internal enum FieldKind
{
    /// <summary>A bare word: <c>10k</c>, <c>B+</c>.</summary>
    Word,

    /// <summary>An expression in braces or single quotes.</summary>
    Expression,

    /// <summary>Text in double quotes.</summary>
    Text,

    /// <summary>A word and its parenthesised fields: <c>SIN(0 1 1k)</c>; the word is empty in <c>(3, 4)</c>.</summary>
    Group,

    /// <summary>Several of these without a blank between: a bare expression.</summary>
    Mixed,
}

/// <summary>One field of a card. Offsets count from the start of the file's logical text. Immutable.</summary>
/// <param name="Kind">How the part before any <c>=</c> is made.</param>
/// <param name="Start">Start of the field.</param>
/// <param name="HeadEnd">End of the part before <c>=</c>.</param>
/// <param name="End">End of the field.</param>
/// <param name="Word">The word of a <see cref="FieldKind.Word"/> or <see cref="FieldKind.Group"/>; otherwise the whole text before <c>=</c>.</param>
/// <param name="Inner">The fields of a group, otherwise empty.</param>
/// <param name="Value">What stands behind <c>=</c>, or null when there is nothing.</param>
/// <param name="IsAssignment">True when there is an <c>=</c>.</param>
internal sealed record Field(
    FieldKind Kind,
    int Start,
    int HeadEnd,
    int End,
    string Word,
    Field[] Inner,
    Field? Value,
    bool IsAssignment
)
{
    /// <summary>True when the field is that word, whatever its case, with or without a group or value after it.</summary>
    public bool Is(string word) =>
        Kind is FieldKind.Word or FieldKind.Group
        && Word.Equals(word, StringComparison.OrdinalIgnoreCase);
}

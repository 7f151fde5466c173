using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>A field of a readings line and where it stands. Blanks around it are gone.</summary>
internal readonly record struct Cell(string Text, SourceSpan Where)
{
    public bool IsBlank => Text.Length == 0;

    /// <summary>A piece of the field. In a field of several lines or with quotes its place is that of the field.</summary>
    public Cell Slice(int start, int length)
    {
        var piece = Text.Substring(start, length);
        var blanks = piece.Length - piece.TrimStart().Length;
        var text = piece.Trim();
        if (Text.AsSpan().IndexOfAny('\r', '\n', '"') >= 0)
        {
            return this with { Text = text };
        }
        var where = Where with
        {
            Column = Where.Column + start + blanks,
            Length = Math.Max(1, text.Length),
        };
        return new Cell(text, where);
    }
}

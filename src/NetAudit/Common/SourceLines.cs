namespace NetAudit.Common;

/// <summary>
/// The lines of a text, ended by LF, CRLF or CR as in all our formats; a character such as U+2028 is text. Immutable and thread-safe.
/// </summary>
internal sealed class SourceLines
{
    private readonly string _text;
    private readonly List<int> _starts = [0];

    public SourceLines(string text)
    {
        _text = text;
        for (var at = text.AsSpan().IndexOfAny('\r', '\n'); at >= 0; )
        {
            var start = at + (text.AsSpan(at).StartsWith("\r\n") ? 2 : 1);
            _starts.Add(start);
            var next = text.AsSpan(start).IndexOfAny('\r', '\n');
            at = next < 0 ? -1 : start + next;
        }
    }

    /// <summary>A line by its number from 1, without its end; null when there is none.</summary>
    public string? Line(int number)
    {
        if (number < 1 || number > _starts.Count)
        {
            return null;
        }
        var start = _starts[number - 1];
        var end = number < _starts.Count ? _starts[number] : _text.Length;
        return _text[start..end].TrimEnd('\r', '\n');
    }

    /// <summary>The place of the character at an offset, or of the text's end.</summary>
    public SourceSpan SpanAt(string file, int offset, int length)
    {
        var found = _starts.BinarySearch(offset);
        var line = found >= 0 ? found : ~found - 1;
        return new SourceSpan(file, line + 1, offset - _starts[line] + 1, Math.Max(1, length));
    }
}

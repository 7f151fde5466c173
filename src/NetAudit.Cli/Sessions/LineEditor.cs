namespace NetAudit.Cli.Sessions;

/// <summary>
/// One line at a terminal: typing, moving, earlier lines by the arrow keys, names completed with Tab (twice lists them).
/// </summary>
/// <param name="output">The terminal.</param>
/// <param name="readKey">Waits for a key; null when there will be none.</param>
/// <param name="names">What Tab completes to.</param>
/// <param name="proposal">What Enter puts on an empty line: the text before the cursor and after it.</param>
internal sealed class LineEditor(
    TextWriter output,
    Func<CancellationToken, Task<ConsoleKeyInfo?>> readKey,
    IReadOnlyList<string> names,
    Func<(string Before, string After)?>? proposal = null
)
{
    private const string Prompt = "reading> ";
    private const int MostListed = 40;

    private readonly List<string> _earlier = [];
    private string _text = "";
    private int _cursor;
    private int _recalled;
    private bool _listsNext;

    /// <summary>The next line; null at the end of input (Ctrl-D).</summary>
    public async Task<string?> ReadAsync(CancellationToken cancellationToken)
    {
        Put("");
        _recalled = _earlier.Count;
        while (true)
        {
            Show();
            if (await KeyAsync(cancellationToken) is not { } key || IsEnd(key))
            {
                output.Write("\n");
                return null;
            }
            if (
                key.Key == ConsoleKey.Enter
                && _text.Length == 0
                && proposal?.Invoke() is var (before, after)
            )
            {
                Put(before + after);
                _cursor = before.Length;
                continue;
            }
            if (key.Key == ConsoleKey.Enter)
            {
                output.Write("\n");
                if (_text.Length > 0)
                {
                    _earlier.Add(_text);
                }
                return _text;
            }
            Edit(key);
        }
    }

    private async Task<ConsoleKeyInfo?> KeyAsync(CancellationToken cancellationToken)
    {
        try
        {
            return await readKey(cancellationToken);
        }
        catch (OperationCanceledException)
        {
            // What is said next begins on a line of its own.
            output.Write("\n");
            throw;
        }
    }

    private bool IsEnd(ConsoleKeyInfo key) =>
        key.Key == ConsoleKey.D
        && key.Modifiers.HasFlag(ConsoleModifiers.Control)
        && _text.Length == 0;

    private void Edit(ConsoleKeyInfo key)
    {
        var listed = _listsNext;
        _listsNext = false;
        switch (key.Key)
        {
            case ConsoleKey.Tab:
                Complete(listed);
                break;
            case ConsoleKey.Backspace when _cursor > 0:
                _text = _text.Remove(--_cursor, 1);
                break;
            case ConsoleKey.Delete when _cursor < _text.Length:
                _text = _text.Remove(_cursor, 1);
                break;
            case ConsoleKey.LeftArrow:
                _cursor = Math.Max(0, _cursor - 1);
                break;
            case ConsoleKey.RightArrow:
                _cursor = Math.Min(_text.Length, _cursor + 1);
                break;
            case ConsoleKey.Home:
                _cursor = 0;
                break;
            case ConsoleKey.End:
                _cursor = _text.Length;
                break;
            case ConsoleKey.Escape:
                Put("");
                break;
            case ConsoleKey.UpArrow:
                Recall(_recalled - 1);
                break;
            case ConsoleKey.DownArrow:
                Recall(_recalled + 1);
                break;
            default:
                if (!char.IsControl(key.KeyChar))
                {
                    _text = _text.Insert(_cursor++, key.KeyChar.ToString());
                }
                break;
        }
    }

    private void Complete(bool lists)
    {
        var (text, candidates) = LineCompletion.Complete(_text[.._cursor], names);
        if (candidates.Length > 1 && lists)
        {
            var more = candidates.Length > MostListed ? ", ..." : "";
            output.Write($"\n{string.Join(", ", candidates.Take(MostListed))}{more}\n");
        }
        _listsNext = candidates.Length > 1;
        var rest = _text[_cursor..];
        _text = text + rest;
        _cursor = text.Length;
    }

    private void Recall(int index)
    {
        if (index < 0 || index > _earlier.Count)
        {
            return;
        }
        Put(index == _earlier.Count ? "" : _earlier[index]);
        _recalled = index;
    }

    private void Put(string text)
    {
        _text = text;
        _cursor = text.Length;
    }

    // The whole line is written anew: erase to its end, then step back to the cursor.
    private void Show()
    {
        var back = _text.Length - _cursor;
        output.Write($"\r{Prompt}{_text}\u001b[K{(back > 0 ? $"\u001b[{back}D" : "")}");
    }
}

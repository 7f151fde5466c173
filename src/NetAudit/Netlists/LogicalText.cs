using NetAudit.Common;

namespace NetAudit.Netlists;

/// <summary>
/// The cards of one file as text, one a line: continuation lines joined, comments and control blocks left out, with the way back from
/// every character to its place in the file. Immutable and thread-safe.
/// </summary>
internal sealed class LogicalText
{
    private const int LongestShownLine = 400;

    private readonly Piece[] pieces;
    private readonly string source;

    /// <param name="file">File name for diagnostics.</param>
    /// <param name="folder">Folder for its includes, or null.</param>
    /// <param name="source">The file's text.</param>
    /// <param name="text">The cards.</param>
    /// <param name="pieces">Where the stretches of <paramref name="text"/> come from, ascending.</param>
    public LogicalText(string file, string? folder, string source, string text, Piece[] pieces)
    {
        File = file;
        Folder = folder;
        Text = text;
        this.source = source;
        this.pieces = pieces;
        UsesSignedPower = text.Contains("pwrs", StringComparison.OrdinalIgnoreCase);
    }

    /// <summary>A stretch that comes from one physical line.</summary>
    /// <param name="Offset">Where it starts in the text.</param>
    /// <param name="Line">Physical line, from 1.</param>
    /// <param name="Column">Column of its first character, from 1.</param>
    /// <param name="LineStart">Where that line starts in the file's text.</param>
    public readonly record struct Piece(int Offset, int Line, int Column, int LineStart);

    /// <summary>File name for diagnostics.</summary>
    public string File { get; }

    /// <summary>Folder for its includes, or null when it has none.</summary>
    public string? Folder { get; }

    /// <summary>The cards, one a line.</summary>
    public string Text { get; }

    /// <summary>True when the file uses <c>pwrs</c>: it is then written in the dialect where <c>pwr</c> does not keep the sign.</summary>
    public bool UsesSignedPower { get; }

    /// <summary>The place in the file of the characters from <paramref name="start"/> up to <paramref name="end"/>.</summary>
    public SourceSpan SpanAt(int start, int end)
    {
        var index = PieceAt(start);
        if (index < 0)
        {
            return new SourceSpan(File, 1, 1);
        }
        var piece = pieces[index];
        var limit = index + 1 < pieces.Length ? Math.Min(end, pieces[index + 1].Offset) : end;
        return new SourceSpan(
            File,
            piece.Line,
            piece.Column + start - piece.Offset,
            Math.Max(1, limit - start)
        );
    }

    /// <summary>The physical line that the character comes from; null when it is too long to show.</summary>
    public string? SourceLineAt(int start)
    {
        var index = PieceAt(start);
        if (index < 0)
        {
            return null;
        }
        var line = source.AsSpan(pieces[index].LineStart);
        var length = line.IndexOfAny('\r', '\n');
        line = length < 0 ? line : line[..length];
        return line.Length > LongestShownLine ? null : line.ToString();
    }

    private int PieceAt(int offset)
    {
        var (low, high) = (0, pieces.Length - 1);
        while (low <= high)
        {
            var middle = (low + high) / 2;
            if (pieces[middle].Offset <= offset)
            {
                low = middle + 1;
            }
            else
            {
                high = middle - 1;
            }
        }
        return high;
    }
}

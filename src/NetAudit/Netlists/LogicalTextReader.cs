using System.Text;
using NetAudit.Common;

namespace NetAudit.Netlists;

/// <summary>
/// Turns a file's physical lines into <see cref="LogicalText"/>: joins <c>+</c> continuations (comment and empty lines may stand between),
/// leaves out comments (<c>*</c> at the start of a line; <c>;</c>, <c>$ </c> and <c> //</c> inside one) and <c>.control</c> blocks, and
/// stops at <c>.end</c>.
/// </summary>
internal ref struct LogicalTextReader
{
    /// <summary>Characters a file may have: some hundred times a large amplifier.</summary>
    public const int LongestFile = 2_000_000;

    /// <summary>Lines a file may have.</summary>
    public const int MostLines = 40_000;

    /// <summary>Characters a card may have, continuations included.</summary>
    public const int LongestCard = 100_000;

    private const int LongestWordKept = 10;

    private readonly string source;
    private readonly StringBuilder text;
    private readonly List<LogicalText.Piece> pieces = [];
    private readonly List<(int Offset, Severity Severity, string Message, string? Mend)> remarks =
    [];
    private int cardStart;
    private bool isCut;
    private bool inControl;
    private bool ended;

    private LogicalTextReader(string source)
    {
        this.source = source;
        text = new StringBuilder(source.Length + 1);
    }

    /// <summary>Reads a file.</summary>
    /// <param name="file">File name for diagnostics.</param>
    /// <param name="folder">Folder for its includes, or null.</param>
    /// <param name="source">The file's text, within the limits of <see cref="LongestFile"/> and <see cref="MostLines"/>.</param>
    /// <param name="hasTitle">True when the first line is the title, whatever it says; false for an included file.</param>
    /// <param name="remarks">What there is to say, by offset in the logical text.</param>
    public static LogicalText Read(
        string file,
        string? folder,
        string source,
        bool hasTitle,
        out List<(int Offset, Severity Severity, string Message, string? Mend)> remarks
    )
    {
        var reader = new LogicalTextReader(source);
        reader.ReadLines(hasTitle);
        remarks = reader.remarks;
        return new LogicalText(file, folder, source, reader.text.ToString(), [.. reader.pieces]);
    }

    private void ReadLines(bool hasTitle)
    {
        var line = 1;
        for (var start = 0; start < source.Length && !ended; line++)
        {
            var rest = source.AsSpan(start);
            var length = rest.IndexOfAny('\r', '\n');
            var content = length < 0 ? rest : rest[..length];
            if (line > 1 || !hasTitle)
            {
                ReadLine(content, line, start);
            }
            var crlf = length >= 0 && rest.Length > length + 1 && rest[length..].StartsWith("\r\n");
            start += length < 0 ? rest.Length : length + (crlf ? 2 : 1);
        }
    }

    private void ReadLine(ReadOnlySpan<char> line, int number, int lineStart)
    {
        var indent = 0;
        while (indent < line.Length && char.IsWhiteSpace(line[indent]))
        {
            indent++;
        }
        var content = WithoutComment(line[indent..]);
        if (content.Length == 0)
        {
            return;
        }
        var column = indent + 1;
        if (inControl)
        {
            inControl = !IsWord(content, ".endc");
        }
        else if (content[0] == '+')
        {
            Continue(content[1..], new LogicalText.Piece(0, number, column + 1, lineStart));
        }
        else if (IsWord(content, ".end"))
        {
            ended = true;
        }
        else
        {
            StartCard(content, new LogicalText.Piece(0, number, column, lineStart));
            if (IsWord(content, ".control"))
            {
                inControl = true;
            }
        }
    }

    private void StartCard(ReadOnlySpan<char> content, LogicalText.Piece piece)
    {
        if (text.Length > 0)
        {
            text.Append('\n');
        }
        cardStart = text.Length;
        isCut = false;
        Append(content, piece);
    }

    private void Continue(ReadOnlySpan<char> content, LogicalText.Piece piece)
    {
        if (text.Length == 0)
        {
            pieces.Add(piece with { Column = piece.Column - 1 });
            text.Append("* ");
            remarks.Add(
                (
                    0,
                    Severity.Error,
                    "this line continues a card, but there is no card before it",
                    null
                )
            );
            return;
        }
        text.Append(' ');
        Append(content, piece);
    }

    private void Append(ReadOnlySpan<char> content, LogicalText.Piece piece)
    {
        if (isCut)
        {
            return;
        }
        pieces.Add(piece with { Offset = text.Length });
        if (text.Length - cardStart + content.Length > LongestCard)
        {
            remarks.Add(
                (
                    text.Length,
                    Severity.Error,
                    $"the card is longer than {LongestCard} characters",
                    null
                )
            );
            content = content[..Math.Min(content.Length, LongestWordKept)];
            isCut = true;
        }
        foreach (var c in content)
        {
            text.Append(char.IsWhiteSpace(c) ? ' ' : c);
        }
    }

    /// <summary>The line up to its comment, without blanks at the end.</summary>
    private static ReadOnlySpan<char> WithoutComment(ReadOnlySpan<char> line)
    {
        if (line.Length == 0 || line[0] is '*' or ';' || line.StartsWith("//"))
        {
            return [];
        }
        var inString = false;
        for (var at = 0; at < line.Length; at++)
        {
            at += line[at..].IndexOfAny('"', ';', '$') is var next and >= 0
                ? next
                : line.Length - at;
            if (at == line.Length)
            {
                break;
            }
            var c = line[at];
            inString ^= c == '"';
            if (!inString && (c == ';' || (c == '$' && IsDollarComment(line, at))))
            {
                line = line[..at];
                break;
            }
        }
        var slashes = line.IndexOf(" //");
        return (slashes < 0 ? line : line[..slashes]).TrimEnd();
    }

    /// <summary>A dollar starts a comment when a blank stands before and after it; <c>n$12</c> is a name.</summary>
    private static bool IsDollarComment(ReadOnlySpan<char> line, int at) =>
        (at == 0 || char.IsWhiteSpace(line[at - 1]) || line[at - 1] == ',')
        && (at + 1 == line.Length || char.IsWhiteSpace(line[at + 1]));

    private static bool IsWord(ReadOnlySpan<char> content, string word) =>
        content.StartsWith(word, StringComparison.OrdinalIgnoreCase)
        && (content.Length == word.Length || char.IsWhiteSpace(content[word.Length]));
}

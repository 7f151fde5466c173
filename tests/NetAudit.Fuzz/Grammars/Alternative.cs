using System.Text;

namespace NetAudit.Fuzz.Grammars;

/// <summary>One way to spell a rule: literal text and names of rules.</summary>
internal sealed record Alternative(Alternative.Piece[] Pieces)
{
    public readonly record struct Piece(string Text, bool IsName);

    /// <summary>How many rules it leads into.</summary>
    public int Names { get; } = Pieces.Count(piece => piece.IsName);

    public static Alternative Of(string line)
    {
        var pieces = new List<Piece>();
        var literal = new StringBuilder();
        for (var at = 0; at < line.Length; at++)
        {
            if (line[at] == '\\' && at + 1 < line.Length)
            {
                literal.Append(Escaped(line[++at]));
            }
            else if (line[at] == '<' && line.IndexOf('>', at) is > 0 and var end)
            {
                pieces.Add(new(literal.ToString(), false));
                pieces.Add(new(line[(at + 1)..end], true));
                literal.Clear();
                at = end;
            }
            else
            {
                literal.Append(line[at]);
            }
        }
        pieces.Add(new(literal.ToString(), false));
        return new([.. pieces.Where(piece => piece.Text.Length > 0)]);
    }

    private static char Escaped(char c) =>
        c switch
        {
            'n' => '\n',
            'r' => '\r',
            't' => '\t',
            '0' => '\0',
            _ => c,
        };
}

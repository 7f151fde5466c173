using System.Collections.Frozen;
using System.Text;

namespace NetAudit.Fuzz.Grammars;

/// <summary>
/// A grammar to draw texts from. Each line of its file is <c>NAME = TEXT</c>, one alternative of NAME; in TEXT <c>&lt;NAME&gt;</c> stands
/// for any text of that name and <c>\n</c>, <c>\t</c>, <c>\&lt;</c> for a line end, a tab and the character. The first name is where a
/// text starts. Lines that begin with <c>#</c> are comments.
/// </summary>
public sealed class Grammar
{
    /// <summary>Below this depth the alternative that ends soonest is taken.</summary>
    private const int Deepest = 24;

    private const int Longest = 20_000;

    private readonly FrozenDictionary<string, Alternative[]> _rules;
    private readonly string _start;

    private Grammar(string text)
    {
        var rules = new Dictionary<string, List<Alternative>>();
        foreach (var line in text.ReplaceLineEndings("\n").Split('\n'))
        {
            if (line.Length == 0 || line[0] == '#')
            {
                continue;
            }
            var at = line.IndexOf(" =", StringComparison.Ordinal);
            var name = line[..at];
            _start ??= name;
            rules.TryAdd(name, []);
            rules[name].Add(Alternative.Of(line[Math.Min(line.Length, at + 3)..]));
        }
        _rules = rules.ToFrozenDictionary(rule => rule.Key, rule => rule.Value.ToArray());
        _start ??= "";
        Words =
        [
            .. rules
                .Values.SelectMany(alternatives => alternatives)
                .SelectMany(alternative => alternative.Pieces)
                .Where(piece => !piece.IsName && piece.Text.Length > 0)
                .Select(piece => piece.Text)
                .Distinct(),
        ];
    }

    /// <summary>The literal pieces: what a mutation may put in.</summary>
    public IReadOnlyList<string> Words { get; }

    /// <summary>The grammar of this name that is part of the assembly.</summary>
    public static Grammar Embedded(string name) => new(Resource.Text($"{name}.grammar"));

    /// <summary>A text.</summary>
    public string Draw(Random random)
    {
        var text = new StringBuilder();
        Expand(_start, 0, random, text);
        return text.ToString();
    }

    private void Expand(string name, int depth, Random random, StringBuilder text)
    {
        if (text.Length > Longest)
        {
            return;
        }
        var alternatives = _rules[name];
        var chosen =
            depth < Deepest
                ? alternatives[random.Next(alternatives.Length)]
                : alternatives.MinBy(alternative => alternative.Names)!;
        foreach (var piece in chosen.Pieces)
        {
            if (piece.IsName)
            {
                Expand(piece.Text, depth + 1, random, text);
            }
            else
            {
                text.Append(piece.Text);
            }
        }
    }
}

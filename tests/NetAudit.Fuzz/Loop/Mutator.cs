namespace NetAudit.Fuzz.Loop;

/// <summary>Damages texts: cuts, doubles, joins, and puts in what hurts.</summary>
internal sealed class Mutator(Random random, IReadOnlyList<string> words)
{
    private const int Longest = 20_000;

    private static readonly string[] Hurts =
    [
        "1e999",
        "-1e308",
        "1e-320",
        "NaN",
        "Infinity",
        "-0",
        "99999999999999999999",
        "2147483648",
        "\0",
        "\ufeff",
        "\u2028",
        "\u202e",
        "\ud83d",
        "é",
        "\r",
        "\n",
        "\t",
        "\"",
        "'",
        "((((((((((((((((",
        "{",
        "}",
        "[[",
        "]]",
        "\\",
        "=",
        ";",
        ",",
        "%",
        "..",
        "#",
        "-",
    ];

    /// <summary>A text with one to six changes.</summary>
    /// <param name="text">The text.</param>
    /// <param name="other">Another, to take pieces from.</param>
    public string Damage(string text, string other)
    {
        for (var left = random.Next(1, 7); left > 0; left--)
        {
            text = Change(text, other);
        }
        return text.Length > Longest ? text[..Longest] : text;
    }

    private string Change(string text, string other)
    {
        var at = random.Next(text.Length + 1);
        var (start, length) = Range(text);
        return random.Next(7) switch
        {
            0 => text.Remove(start, length),
            1 => text.Insert(at, text.Substring(start, length)),
            2 => text.Insert(at, Hurts[random.Next(Hurts.Length)]),
            3 => text.Insert(at, words[random.Next(words.Count)]),
            4 => text.Remove(start, length).Insert(start, Piece(other)),
            5 => text.Insert(at, string.Concat(Enumerable.Repeat(Short(text), random.Next(2, 80)))),
            _ => text[..at] + other[random.Next(other.Length + 1)..],
        };
    }

    private string Piece(string text)
    {
        var (start, length) = Range(text);
        return text.Substring(start, length);
    }

    private string Short(string text)
    {
        var (start, length) = Range(text);
        return text.Substring(start, Math.Min(length, 6));
    }

    // Mostly short, sometimes any length.
    private (int Start, int Length) Range(string text)
    {
        var start = random.Next(text.Length + 1);
        var most = text.Length - start;
        return (start, random.Next(1 + (random.Next(4) == 0 ? most : Math.Min(most, 12))));
    }
}

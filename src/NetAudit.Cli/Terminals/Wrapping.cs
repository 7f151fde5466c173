namespace NetAudit.Cli.Terminals;

/// <summary>Breaks text into lines.</summary>
internal static class Wrapping
{
    /// <summary>
    /// The text in lines of at most that many characters, broken at blanks; a longer word stands alone on its line, whole.
    /// </summary>
    public static IEnumerable<string> Lines(string text, int width)
    {
        var line = "";
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                yield return line;
                line = "";
            }
            line = line.Length == 0 ? word : $"{line} {word}";
        }
        yield return line;
    }
}

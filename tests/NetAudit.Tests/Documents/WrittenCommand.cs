using System.Text.RegularExpressions;

namespace NetAudit.Tests.Documents;

/// <summary>A command as a document writes it: a line of a <c>sh</c> block, an indented line, or words within a sentence.</summary>
/// <param name="Document">The document.</param>
/// <param name="Text">The command without its comment.</param>
/// <param name="IsMention">True within a sentence, where what a verb needs may be left out.</param>
internal sealed partial record WrittenCommand(string Document, string Text, bool IsMention)
{
    /// <summary>The words, quotes off, without the variables set in front.</summary>
    public string[] Words =>
        [
            .. Word()
                .Matches(Text)
                .Select(word => word.Value.Trim('\'', '"'))
                .SkipWhile(word => Variable().IsMatch(word)),
        ];

    /// <summary>The commands of a document, each once; sessions of <c>console</c> blocks apart, which are run and compared.</summary>
    public static IEnumerable<WrittenCommand> Of(string document, string text)
    {
        var found = new List<WrittenCommand>();
        var block = "";
        foreach (var line in text.Split('\n'))
        {
            if (line.StartsWith("```", StringComparison.Ordinal))
            {
                block = block.Length > 0 ? "" : line;
            }
            else if (block == "```sh" || block.Length == 0 && Indented().IsMatch(line))
            {
                found.Add(new(document, line.Split(" #")[0].Trim(), IsMention: false));
            }
            else if (block.Length == 0)
            {
                found.AddRange(
                    Mention()
                        .Matches(line)
                        .Select(match => new WrittenCommand(document, match.Groups[1].Value, true))
                );
            }
        }
        return found.Where(command => command.Words.Length > 1).Distinct();
    }

    [GeneratedRegex("""'[^']*'|"[^"]*"|[^\s'"]+""")]
    private static partial Regex Word();

    [GeneratedRegex("^[A-Z][A-Za-z_]*=")]
    private static partial Regex Variable();

    [GeneratedRegex("^    ([A-Z_]+=[^ ]+ )*(dotnet|netaudit|bash|sh|source|[.]/tests/[^ ]+) ")]
    private static partial Regex Indented();

    [GeneratedRegex(
        "`((?:(?:[A-Z][A-Za-z_]*=[^ `]+ )*(?:dotnet|netaudit|bash|sh|source) |[a-z][a-z-]* --)[^`]+)`"
    )]
    private static partial Regex Mention();
}

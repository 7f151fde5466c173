using NetAudit.Common;

namespace NetAudit.Fuzz.Targets;

/// <summary>What every parser promises: an error is a diagnostic with words and a place that lies in the text.</summary>
internal static class Contract
{
    private static readonly string[] LineEnds = ["\r\n", "\n", "\r"];

    public static void Holds(bool condition, string promise)
    {
        if (!condition)
        {
            throw new ContractException(promise);
        }
    }

    /// <summary>Looks at the diagnostics of one text.</summary>
    /// <param name="found">The diagnostics.</param>
    /// <param name="file">The text's name; diagnostics of other files are not looked up in it.</param>
    /// <param name="text">The text.</param>
    public static void Places(IEnumerable<Diagnostic> found, string file, string text)
    {
        var lines = text.Split(LineEnds, StringSplitOptions.None);
        foreach (var diagnostic in found)
        {
            Holds(diagnostic.Message.Length > 0, "a diagnostic has words");
            Holds(diagnostic.ToString().Length > 0, "a diagnostic can be shown");
            Holds(
                diagnostic.Where is not null || diagnostic.Severity != Severity.Error,
                $"an error has a place: {diagnostic.Message}"
            );
            if (diagnostic.Where is not { } where || where.File != file)
            {
                continue;
            }
            Holds(
                where.Line >= 1 && where.Line <= lines.Length,
                $"{where} is a line of the text: {diagnostic.Message}"
            );
            Holds(
                where.Column >= 1 && where.Column <= lines[where.Line - 1].Length + 1,
                $"{where} is a column of its line: {diagnostic.Message}"
            );
            Holds(where.Length >= 1, $"{where} is not empty");
        }
    }
}

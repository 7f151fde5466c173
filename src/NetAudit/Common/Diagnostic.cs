namespace NetAudit.Common;

/// <summary>How much a <see cref="Diagnostic"/> matters.</summary>
public enum Severity
{
    /// <summary>Worth knowing; nothing is wrong.</summary>
    Note,

    /// <summary>Probably a slip; the program goes on.</summary>
    Warning,

    /// <summary>The input cannot be used.</summary>
    Error,
}

/// <summary>Severities in words.</summary>
internal static class Severities
{
    /// <summary><c>note</c>, <c>warning</c> or <c>error</c>.</summary>
    public static string Word(this Severity severity) =>
        severity switch
        {
            Severity.Error => "error",
            Severity.Warning => "warning",
            _ => "note",
        };
}

/// <summary>What is wrong with an input, where, and what would mend it. Bad input is always a value, never an exception.</summary>
/// <param name="Severity">How much it matters.</param>
/// <param name="Where">The place in the source, or null when it concerns the input as a whole.</param>
/// <param name="Message">One sentence in plain words, without the place.</param>
/// <param name="Mend">What would mend it, when one mend is likely; otherwise null.</param>
/// <param name="SourceLine">The source line that <paramref name="Where"/> points into, for a caret display; otherwise null.</param>
public sealed record Diagnostic(
    Severity Severity,
    SourceSpan? Where,
    string Message,
    string? Mend = null,
    string? SourceLine = null
)
{
    /// <summary>The diagnostic as text: place and message, the source line with a caret, the mend.</summary>
    public override string ToString()
    {
        var word = Severity.Word();
        var text = Where is { } at ? $"{at}: {word}: {Message}" : $"{word}: {Message}";
        if (Where is { } place && SourceLine is { } line)
        {
            // Tabs stay tabs in the padding so that the caret stands under its character at any tab width.
            var before = line[..Math.Clamp(place.Column - 1, 0, line.Length)];
            var padding = new string([.. before.Select(c => c == '\t' ? '\t' : ' ')]);
            var carets = new string(
                '^',
                Math.Clamp(place.Length, 1, Math.Max(1, line.Length - before.Length))
            );
            text += $"\n    {line}\n    {padding}{carets}";
        }
        return Mend is null ? text : $"{text}\n    mend: {Mend}";
    }
}

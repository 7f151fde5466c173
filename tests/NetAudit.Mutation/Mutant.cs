using Microsoft.CodeAnalysis.Text;

namespace NetAudit.Mutation;

/// <summary>One slip that could be in the library.</summary>
/// <param name="File">Source file, from the repository's root.</param>
/// <param name="Line">Line, from 1.</param>
/// <param name="Span">What it stands in for.</param>
/// <param name="Original">The text there.</param>
/// <param name="Replacement">What stands there with the slip; empty when a statement is left out.</param>
/// <param name="IsStatement">Whether it stands in for a statement rather than an expression.</param>
internal sealed record Mutant(
    string File,
    int Line,
    TextSpan Span,
    string Original,
    string Replacement,
    bool IsStatement
)
{
    public override string ToString()
    {
        var slip = Replacement.Length == 0 ? "left out" : $"-> {OneLine(Replacement)}";
        return $"{File}:{Line}: {OneLine(Original)} {slip}";
    }

    private static string OneLine(string text)
    {
        var line = string.Join(
            ' ',
            text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)
        );
        return line.Length <= 90 ? line : line[..87] + "...";
    }
}

using System.Text.RegularExpressions;
using NetAudit.Common;
using Tomlyn;
using Tomlyn.Parsing;
using Tomlyn.Syntax;
using SourceSpan = NetAudit.Common.SourceSpan;

namespace NetAudit.Circuits.Sheets;

/// <summary>Parses TOML text. What the parser throws at becomes a diagnostic.</summary>
internal static partial class TomlSyntax
{
    /// <summary>The document, which holds what was wrong with the text; an empty one when the parser gave up, which is reported.</summary>
    public static DocumentSyntax Parse(string text, string file, DiagnosticList diagnostics)
    {
        // The parser ends a line at a line feed only.
        var lines = LoneCarriageReturn().Replace(text, "\n");
        try
        {
            return SyntaxParser.Parse(lines, file, validate: false);
        }
        catch (TomlException problem)
        {
            diagnostics.Error(
                new SourceSpan(file, problem.Line ?? 1, problem.Column ?? 1),
                "values are nested too deep",
                "no key takes more than a list or a table in a table"
            );
        }
        catch (ArgumentOutOfRangeException)
        {
            // The parser does not look whether the number of an escape is a character's.
            var escape = EscapedSurrogate().Match(lines);
            diagnostics.Error(
                diagnostics.Lines.SpanAt(file, escape.Index, escape.Length),
                "this escape is no character",
                "write the character itself"
            );
        }
        return new DocumentSyntax();
    }

    [GeneratedRegex(@"\r(?!\n)")]
    private static partial Regex LoneCarriageReturn();

    [GeneratedRegex(
        @"\\(u[dD][89a-fA-F]|U(?!000[0-9a-fA-F]|0010)|U0000[dD][89a-fA-F])[0-9a-fA-F]*"
    )]
    private static partial Regex EscapedSurrogate();
}

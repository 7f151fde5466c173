using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Expectations;

/// <summary>Reads a condition by itself, as a readings file writes it: <c>volume=0.7; pull V3</c>.</summary>
public static class ConditionText
{
    /// <summary>The condition, or null and what is wrong with the text.</summary>
    public static (Condition? Condition, ImmutableArray<Diagnostic> Diagnostics) Read(
        string text,
        Amplifier amplifier
    )
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(amplifier);
        var diagnostics = new DiagnosticList(text);
        var reader = new ConditionReader(
            amplifier.Sheet,
            new PlaceFinder(amplifier, diagnostics),
            diagnostics
        );
        var cell = new Cell(text, new SourceSpan("-", 1, 1, Math.Max(1, text.Length)));
        var condition = reader.Read(cell.Slice(0, text.Length));
        return (diagnostics.HasErrors ? null : condition, diagnostics.ToImmutable());
    }
}

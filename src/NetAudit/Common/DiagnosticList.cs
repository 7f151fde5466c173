using System.Collections.Immutable;

namespace NetAudit.Common;

/// <summary>Collects what is wrong with one source text, and supplies the source line of each place.</summary>
internal sealed class DiagnosticList(string text)
{
    private readonly ImmutableArray<Diagnostic>.Builder found =
        ImmutableArray.CreateBuilder<Diagnostic>();

    /// <summary>The text's lines.</summary>
    public SourceLines Lines { get; } = new(text);

    public bool HasErrors => found.Any(diagnostic => diagnostic.Severity == Severity.Error);

    public ImmutableArray<Diagnostic> ToImmutable() => found.ToImmutable();

    public void Error(SourceSpan where, string message, string? mend) =>
        Add(Severity.Error, where, message, mend);

    public void Add(Severity severity, SourceSpan where, string message, string? mend)
    {
        var line = Lines.Line(where.Line);
        if (line is not null && where.Column > line.Length + 1)
        {
            // A field with broken quotes is longer than what stands in the file.
            where = where with
            {
                Column = line.Length + 1,
                Length = 1,
            };
        }
        found.Add(new Diagnostic(severity, where, message, mend, line));
    }
}

using System.Collections.Immutable;
using NetAudit.Common;

namespace NetAudit.Netlists;

/// <summary>
/// Gathers diagnostics, each once: the body of a subcircuit is read again for every instance. Bounded, so that a hostile file does not
/// fill the memory with complaints.
/// </summary>
internal sealed class DiagnosticBag
{
    /// <summary>Diagnostics kept of each severity; the rest is counted.</summary>
    public const int Most = 200;

    private readonly List<Diagnostic> diagnostics = [];
    private readonly HashSet<(SourceSpan?, string)> known = [];
    private readonly int[] kept = new int[3];
    private int dropped;

    /// <summary>True once an error was added.</summary>
    public bool HasErrors { get; private set; }

    /// <summary>True once there are so many errors that reading on has no use.</summary>
    public bool IsFull => kept[(int)Severity.Error] >= Most;

    /// <summary>Adds one about a stretch of a card.</summary>
    public void Add(
        Severity severity,
        LogicalText text,
        int start,
        int end,
        string message,
        string? mend = null
    )
    {
        HasErrors |= severity == Severity.Error;
        if (kept[(int)severity] >= Most)
        {
            dropped++;
            return;
        }
        var where = text.SpanAt(start, end);
        Add(new Diagnostic(severity, where, message, mend, text.SourceLineAt(start)));
    }

    /// <summary>Adds one about the input as a whole.</summary>
    public void Add(Diagnostic diagnostic)
    {
        HasErrors |= diagnostic.Severity == Severity.Error;
        if (known.Add((diagnostic.Where, diagnostic.Message)))
        {
            kept[(int)diagnostic.Severity]++;
            diagnostics.Add(diagnostic);
        }
    }

    /// <summary>Everything gathered, by file in order of appearance, then by place.</summary>
    public ImmutableArray<Diagnostic> ToImmutable()
    {
        var files = diagnostics.Select(d => d.Where?.File ?? "").Distinct().ToList();
        var sorted = diagnostics
            .OrderBy(d => files.IndexOf(d.Where?.File ?? ""))
            .ThenBy(d => d.Where?.Line ?? 0)
            .ThenBy(d => d.Where?.Column ?? 0);
        return dropped == 0
            ? [.. sorted]
            :
            [
                .. sorted,
                new Diagnostic(
                    Severity.Note,
                    null,
                    $"{dropped} more messages are not shown; mend these first"
                ),
            ];
    }
}

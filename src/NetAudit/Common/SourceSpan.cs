namespace NetAudit.Common;

/// <summary>A stretch of text in a source file, where a diagnostic points to.</summary>
/// <param name="File">File name as the user gave it, or as an include resolved it; <c>-</c> is standard input.</param>
/// <param name="Line">Line, counted from 1.</param>
/// <param name="Column">Column, counted from 1 in UTF-16 code units.</param>
/// <param name="Length">Length in UTF-16 code units; at least 1.</param>
public readonly record struct SourceSpan(string File, int Line, int Column, int Length = 1)
{
    /// <summary>The place as <c>file:line:column</c>.</summary>
    public override string ToString() => $"{File}:{Line}:{Column}";
}

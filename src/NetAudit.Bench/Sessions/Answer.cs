using NetAudit.Diagnosis;

namespace NetAudit.Bench.Sessions;

/// <summary>What is known about a job's readings at a moment.</summary>
/// <param name="Result">The answer so far; null before the first.</param>
/// <param name="Step">Step of the search that gave it, from 1.</param>
/// <param name="IsWorking">True while a deeper search goes on.</param>
/// <param name="Took">How long the first answer took after the reading.</param>
/// <param name="Problem">Why there is no answer, or null.</param>
public sealed record Answer(
    DiagnosisResult? Result,
    int Step,
    bool IsWorking,
    TimeSpan Took,
    string? Problem
)
{
    /// <summary>Nothing asked yet.</summary>
    public static Answer None { get; } = new(null, 0, false, TimeSpan.Zero, null);
}

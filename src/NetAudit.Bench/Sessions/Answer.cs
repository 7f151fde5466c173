using NetAudit.Diagnosis;

namespace NetAudit.Bench.Sessions;

/// <summary>What is known about a job's readings at a moment.</summary>
/// <param name="Result">The answer so far; null before the first.</param>
/// <param name="Faults">Most faults at once that it considered.</param>
/// <param name="IsWorking">True while a deeper search goes on.</param>
/// <param name="Took">How long the first answer took after the reading.</param>
/// <param name="Problem">Why there is no answer, or null.</param>
public sealed record Answer(
    DiagnosisResult? Result,
    int Faults,
    bool IsWorking,
    TimeSpan Took,
    string? Problem
)
{
    /// <summary>Nothing asked yet.</summary>
    public static Answer None { get; } = new(null, 0, false, TimeSpan.Zero, null);
}

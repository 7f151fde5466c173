using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;

namespace NetAudit.Jobs;

/// <summary>A job's readings as its circuit understands them.</summary>
/// <param name="Readings">Each reading that stands, with what the circuit makes of it.</param>
/// <param name="Problems">What is wrong with the others, which happens when a job's circuit was changed.</param>
public sealed record ResolvedReadings(
    ImmutableArray<(JobReading Kept, Reading Reading)> Readings,
    ImmutableArray<Diagnostic> Problems
)
{
    /// <summary>Finds points and parts of the readings of a phase.</summary>
    public static ResolvedReadings Of(Job job, ReadingPhase phase, Amplifier amplifier)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(amplifier);
        var diagnostics = new DiagnosticList("");
        var builder = new ReadingBuilder(amplifier, diagnostics);
        var readings = ImmutableArray.CreateBuilder<(JobReading, Reading)>();
        foreach (var kept in job.Standing(phase))
        {
            var line = (int)Math.Min(kept.Number, int.MaxValue);
            Cell Of(string text) => new(text, new SourceSpan($"job {job.Number}", line, 1));
            var cells = new ReadingCells(
                Of(kept.At),
                Of(kept.Kind),
                Of(kept.Value),
                Of(kept.Ref),
                Of(kept.Condition),
                Of(kept.Note)
            );
            if (builder.Build(cells) is { } reading)
            {
                readings.Add((kept, reading));
            }
        }
        return new(
            readings.ToImmutable(),
            [.. diagnostics.ToImmutable().Where(found => found.Severity == Severity.Error)]
        );
    }
}

using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Jobs;

/// <summary>All that a job knows of its unit, as a diagnosis takes it.</summary>
public static class JobEvidence
{
    /// <summary>
    /// Readings of a phase that the circuit understands; of the unit as it came in also what the first checks saw, and the complaint. What
    /// was complained of and seen then is no evidence about the unit after the work.
    /// </summary>
    public static (ImmutableArray<Reading> Readings, DiagnosisOptions Options) Of(
        Job job,
        ReadingPhase phase,
        Amplifier amplifier
    )
    {
        ArgumentNullException.ThrowIfNull(job);
        var readings = ResolvedReadings
            .Of(job, phase, amplifier)
            .Readings.Select(pair => pair.Reading);
        if (phase == ReadingPhase.After)
        {
            return ([.. readings], new());
        }
        var complaint = job[JobField.Complaint];
        return (
            [.. readings, .. job.Checks.SelectMany(answer => CheckEvidence.Of(answer, amplifier))],
            new() { Complaint = Complaints.All.Contains(complaint) ? complaint : null }
        );
    }
}

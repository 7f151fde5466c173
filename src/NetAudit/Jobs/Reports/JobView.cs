using System.Collections.Immutable;
using NetAudit.Audits.Consequences;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Jobs.Reports;

/// <summary>A reading beside what a healthy unit shows, where that is known.</summary>
internal sealed record JudgedReading(JobReading Kept, Reading? Reading, ExpectedReading? Expected)
{
    /// <summary>True within the limits, false out of them, null when there are none.</summary>
    public bool? IsWithin =>
        Reading is { } reading && Expected is { } expected ? expected.Holds(reading.Value) : null;

    /// <summary>Readings of the same are of one place, taken anew.</summary>
    public object? Place =>
        Reading is { } reading
            ? (reading.Kind, reading.Node, reading.RefNode, reading.Condition)
            : null;

    /// <summary>Any value of the reading, with its unit.</summary>
    public string Show(double value) => ReadingWords.Value(Reading!.Kind, value);
}

/// <summary>What reports need of a job beside its record: the circuit read, and every reading judged.</summary>
internal sealed class JobView
{
    private readonly HealthyForecast? _healthy;

    public JobView(Job job, CancellationToken cancellationToken)
    {
        Job = job;
        Amplifier = job.Circuit?.Read(cancellationToken).Amplifier;
        if (Amplifier is { } amplifier)
        {
            _healthy = HealthyForecast.Prepare(amplifier, cancellationToken).Forecast;
        }
        Checks = FirstChecks.Of(Amplifier);
    }

    public Job Job { get; }

    public Amplifier? Amplifier { get; }

    public ImmutableArray<FirstCheck> Checks { get; }

    /// <summary>The readings of a phase that stand, in order.</summary>
    public ImmutableArray<JudgedReading> Readings(ReadingPhase phase)
    {
        if (Amplifier is null)
        {
            return [.. Job.Standing(phase).Select(kept => new JudgedReading(kept, null, null))];
        }
        var resolved = ResolvedReadings
            .Of(Job, phase, Amplifier)
            .Readings.ToDictionary(pair => pair.Kept.Number, pair => pair.Reading);
        return
        [
            .. Job.Standing(phase)
                .Select(kept =>
                {
                    var reading = resolved.GetValueOrDefault(kept.Number);
                    return new JudgedReading(
                        kept,
                        reading,
                        reading is null ? null : _healthy?.Of(reading)
                    );
                }),
        ];
    }

    /// <summary>The answer to everything known before the work; null without a circuit or anything to go by.</summary>
    public DiagnosisResult? Answer(ShopExperience? experience, CancellationToken cancellationToken)
    {
        if (Amplifier is not { } amplifier)
        {
            return null;
        }
        var (readings, options) = JobEvidence.Of(Job, ReadingPhase.Before, amplifier);
        if (readings.IsEmpty && options.Complaint is null)
        {
            return null;
        }
        var (diagnoser, _) = Diagnoser.Prepare(amplifier, cancellationToken);
        return diagnoser
            ?.Diagnose(readings, options with { Experience = experience }, cancellationToken)
            .WithOverloads(diagnoser, cancellationToken);
    }
}

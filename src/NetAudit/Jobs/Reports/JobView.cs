using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Jobs.Reports;

/// <summary>A reading beside what a healthy unit shows, where that is known.</summary>
internal sealed record JudgedReading(JobReading Kept, Reading? Reading, ExpectedReading? Expected)
{
    /// <summary>True within the limits, false out of them, null when there are none.</summary>
    public bool? IsWithin =>
        Reading is { Kind: ReadingKind.Dc, RefNode: 0 } reading
        && reading.Condition == Condition.Normal
        && Expected is { } expected
            ? reading.Value >= expected.Low && reading.Value <= expected.High
            : null;
}

/// <summary>What reports need of a job beside its record: the circuit read, and every reading judged.</summary>
internal sealed class JobView
{
    private readonly Dictionary<int, ExpectedReading> _expected = [];

    public JobView(Job job, CancellationToken cancellationToken)
    {
        Job = job;
        Amplifier = job.Circuit?.Read(cancellationToken).Amplifier;
        if (Amplifier is { } amplifier)
        {
            foreach (var reading in Expectation.Of(amplifier, cancellationToken).Readings)
            {
                _expected.TryAdd(reading.Point.Node, reading);
            }
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
                        reading is null ? null : _expected.GetValueOrDefault(reading.Node)
                    );
                }),
        ];
    }

    /// <summary>The answer to the readings before the work; null without a circuit or readings.</summary>
    public DiagnosisResult? Answer(CancellationToken cancellationToken)
    {
        var readings = Readings(ReadingPhase.Before)
            .Select(r => r.Reading)
            .OfType<Reading>()
            .ToArray();
        return Amplifier is null || readings.Length == 0
            ? null
            : Diagnoser
                .Prepare(Amplifier, cancellationToken)
                .Diagnoser?.Diagnose(readings, cancellationToken: cancellationToken);
    }
}

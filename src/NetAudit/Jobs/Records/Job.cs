using System.Collections.Immutable;

namespace NetAudit.Jobs;

/// <summary>The record of one repair, as it stands on the disk. Immutable.</summary>
public sealed record Job
{
    /// <summary>Number in its store, from 1.</summary>
    public required long Number { get; init; }

    /// <summary>When it was opened.</summary>
    public required DateTimeOffset Opened { get; init; }

    /// <summary>When it last changed.</summary>
    public required DateTimeOffset Changed { get; init; }

    /// <summary>Where it stands.</summary>
    public required JobState State { get; init; }

    /// <summary>What is written on the job: every field of <see cref="JobField"/>, empty where nothing was written.</summary>
    public required ImmutableSortedDictionary<JobField, string> Fields { get; init; }

    /// <summary>The circuit it is judged by, with sheet and included files as they were then; null when none was chosen.</summary>
    public CircuitSource? Circuit { get; init; }

    /// <summary>Answers to the first checks, in the order of the list.</summary>
    public ImmutableArray<CheckAnswer> Checks { get; init; } = [];

    /// <summary>Every reading that was kept, also those taken back, in order.</summary>
    public ImmutableArray<JobReading> Readings { get; init; } = [];

    /// <summary>What was done.</summary>
    public ImmutableArray<WorkStep> Steps { get; init; } = [];

    /// <summary>Price lines.</summary>
    public ImmutableArray<PriceLine> Prices { get; init; } = [];

    /// <summary>Cautions that were acknowledged.</summary>
    public ImmutableArray<Acknowledgement> Cautions { get; init; } = [];

    /// <summary>The text of a field; empty when nothing was written.</summary>
    public string this[JobField field] => Fields.GetValueOrDefault(field, "");

    /// <summary>Readings of a phase that stand, in order.</summary>
    public IEnumerable<JobReading> Standing(ReadingPhase phase) =>
        Readings.Where(reading => reading.Phase == phase && !reading.TakenBack);
}

/// <summary>A job in a list.</summary>
/// <param name="Number">Its number.</param>
/// <param name="Opened">When it was opened.</param>
/// <param name="Changed">When it last changed.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Model">Model and variant.</param>
/// <param name="Serial">Serial number.</param>
/// <param name="Owner">Owner.</param>
/// <param name="Complaint">Complaint.</param>
/// <param name="Readings">Readings that stand.</param>
public sealed record JobSummary(
    long Number,
    DateTimeOffset Opened,
    DateTimeOffset Changed,
    JobState State,
    string Model,
    string Serial,
    string Owner,
    string Complaint,
    int Readings
);

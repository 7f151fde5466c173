using System.Collections.Immutable;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Entry;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Bench.Sessions;

/// <summary>
/// One job as every open tab sees it. Each change goes to the disk first and is seen by all tabs after. Thread-safe.
/// </summary>
public sealed class JobSession : IDisposable
{
    private readonly JobStore _store;
    private readonly CircuitShelf _shelf;
    private readonly Dictionary<ReadingPhase, AnswerSearch> _searches;
    private readonly Lock _turn = new();

    /// <summary>Opens a job.</summary>
    public JobSession(JobStore store, CircuitShelf shelf, Job job)
    {
        (_store, _shelf, Job) = (store, shelf, job);
        _searches = Enum.GetValues<ReadingPhase>()
            .ToDictionary(phase => phase, _ => new AnswerSearch(Tell));
        Read(job);
        if (Circuit?.Amplifier is not null)
        {
            _ = Circuit.WarmUpAsync();
        }
        foreach (var phase in _searches.Keys)
        {
            Search(phase);
        }
    }

    /// <summary>Raised after every change, on any thread.</summary>
    public event Action? Changed;

    /// <summary>The record as it stands on the disk.</summary>
    public Job Job { get; private set; }

    /// <summary>The job's circuit; null when none was chosen.</summary>
    public PreparedCircuit? Circuit { get; private set; }

    /// <summary>Readings before the work.</summary>
    public ImmutableArray<(JobReading Kept, Reading Reading)> Before { get; private set; } = [];

    /// <summary>Readings after the work.</summary>
    public ImmutableArray<(JobReading Kept, Reading Reading)> After { get; private set; } = [];

    /// <summary>What is wrong with readings that the circuit does not know.</summary>
    public ImmutableArray<Diagnostic> Problems { get; private set; } = [];

    /// <summary>True until the cautions of the circuit are acknowledged.</summary>
    public bool AwaitsAcknowledgement =>
        Circuit is { } circuit
        && circuit.Cautions.Any(caution => Job.Cautions.All(known => known.Text != caution));

    /// <summary>The readings of a phase.</summary>
    public ImmutableArray<(JobReading Kept, Reading Reading)> Readings(ReadingPhase phase) =>
        phase == ReadingPhase.Before ? Before : After;

    /// <summary>The answer to the readings of a phase.</summary>
    public Answer Answer(ReadingPhase phase) => _searches[phase].Answer;

    /// <summary>Writes a field.</summary>
    public Diagnostic? SetField(JobField field, string text) =>
        Job[field] == text
            ? null
            // The complaint is evidence.
            : Do(_store.SetField(Job.Number, field, text), search: field == JobField.Complaint);

    /// <summary>Remembers the view in which the job is left.</summary>
    public void SetView(string view)
    {
        if (Job[JobField.View] != view)
        {
            _store.SetView(Job.Number, view);
            Job = _store.Load(Job.Number) ?? Job;
        }
    }

    /// <summary>Changes the state.</summary>
    public Diagnostic? SetState(JobState state) => Do(_store.SetState(Job.Number, state));

    /// <summary>Changes the circuit.</summary>
    public Diagnostic? SetCircuit(CircuitSource circuit) =>
        Do(_store.SetCircuit(Job.Number, circuit), search: true);

    /// <summary>Answers a first check.</summary>
    public Diagnostic? SetCheck(string check, string answer, string note) =>
        Do(_store.SetCheck(Job.Number, check, answer, note), search: true);

    /// <summary>Keeps a reading.</summary>
    public Kept AddReading(ReadingPhase phase, Reading reading)
    {
        var kept = _store.AddReading(Job.Number, phase, reading);
        Do(kept.Problem, search: true);
        return kept;
    }

    /// <summary>Takes a reading back, or gives it back.</summary>
    public Diagnostic? TakeBack(long number, bool takenBack = true) =>
        Do(_store.TakeBack(Job.Number, number, takenBack), search: true);

    /// <summary>Puts another value in the place of a reading that was misread.</summary>
    public Diagnostic? Correct(ReadingPhase phase, JobReading misread, Reading meant)
    {
        var kept = _store.AddReading(Job.Number, phase, meant);
        return Do(kept.Problem ?? _store.TakeBack(Job.Number, misread.Number), search: true);
    }

    /// <summary>Keeps a step of the work.</summary>
    public Diagnostic? AddStep(StepKind kind, string part, string text, string partUsed) =>
        Do(_store.AddStep(Job.Number, kind, part, text, partUsed).Problem);

    /// <summary>Strikes a step out.</summary>
    public Diagnostic? RemoveStep(long step) => Do(_store.RemoveStep(Job.Number, step));

    /// <summary>Keeps a price line.</summary>
    public Diagnostic? AddPrice(string text, bool isLabour, decimal quantity, decimal price) =>
        Do(_store.AddPrice(Job.Number, text, isLabour, quantity, price).Problem);

    /// <summary>Strikes a price line out.</summary>
    public Diagnostic? RemovePrice(long price) => Do(_store.RemovePrice(Job.Number, price));

    /// <summary>Records that the cautions were read.</summary>
    public Diagnostic? Acknowledge() =>
        Circuit is { } circuit ? Do(_store.Acknowledge(Job.Number, circuit.Cautions)) : null;

    /// <summary>The point that is proposed next in a phase, or null when all are read.</summary>
    public ReadingTarget? Next(ReadingPhase phase) =>
        Circuit is { Amplifier: not null } circuit
            ? NextPoint.Of(circuit, Readings(phase), Answer(phase))
            : null;

    /// <summary>Ends the searches.</summary>
    public void Dispose()
    {
        foreach (var search in _searches.Values)
        {
            search.Dispose();
        }
    }

    private Diagnostic? Do(Diagnostic? problem, bool search = false)
    {
        if (problem is not null)
        {
            return problem;
        }
        lock (_turn)
        {
            Read(_store.Load(Job.Number) ?? Job);
        }
        if (search)
        {
            foreach (var phase in _searches.Keys)
            {
                Search(phase);
            }
        }
        Tell();
        return null;
    }

    private void Read(Job job)
    {
        Job = job;
        Circuit = job.Circuit is null ? null : _shelf.Prepare(job.Circuit);
        if (Circuit?.Amplifier is not { } amplifier)
        {
            (Before, After, Problems) = ([], [], Circuit?.Problems ?? []);
            return;
        }
        var before = ResolvedReadings.Of(job, ReadingPhase.Before, amplifier);
        var after = ResolvedReadings.Of(job, ReadingPhase.After, amplifier);
        (Before, After) = (before.Readings, after.Readings);
        Problems = [.. before.Problems, .. after.Problems];
    }

    private void Search(ReadingPhase phase)
    {
        if (Circuit?.Amplifier is not null)
        {
            var (readings, options) = JobEvidence.Of(Job, phase, Circuit.Amplifier);
            _searches[phase]
                .Begin(Circuit, readings, options with { Experience = _store.Learning.For(Job) });
        }
    }

    private void Tell() => Changed?.Invoke();
}

using System.Collections.Immutable;
using NetAudit.Common;
using NetAudit.Jobs.Storage;

namespace NetAudit.Jobs;

/// <summary>What became of something that was to be kept.</summary>
/// <param name="Number">Its number; 0 when it was not kept.</param>
/// <param name="Problem">Why it was not kept; null when it is on the disk.</param>
public readonly record struct Kept(long Number, Diagnostic? Problem);

/// <summary>
/// The shop's jobs in one file. What a call took is on the disk when the call returns without a problem; a failure is a value, and then
/// nothing of the call was kept. Thread-safe; several processes may use one file.
/// </summary>
public sealed partial class JobStore : IDisposable
{
    private readonly JobDatabase _database;
    private readonly TimeProvider _clock;

    private JobStore(JobDatabase database, TimeProvider clock, string path)
    {
        (_database, _clock) = (database, clock);
        Path = path;
        Learning = new ShopLearning(this);
    }

    /// <summary>The file.</summary>
    public string Path { get; }

    /// <summary>For tests: the file underneath.</summary>
    internal JobDatabase Database => _database;

    /// <summary>Opens a file of jobs; makes it when it is missing, brings an older one up to date.</summary>
    /// <param name="path">The file.</param>
    /// <param name="clock">Gives the time of every entry.</param>
    public static (JobStore? Store, Diagnostic? Problem) Open(string path, TimeProvider clock)
    {
        ArgumentNullException.ThrowIfNull(path);
        ArgumentNullException.ThrowIfNull(clock);
        var (database, problem) = JobDatabase.Open(path);
        return database is null ? (null, problem) : (new JobStore(database, clock, path), null);
    }

    /// <summary>Opens a new job.</summary>
    /// <param name="fields">What is known at once; may be empty.</param>
    /// <param name="circuit">The circuit, or null when it is not known yet.</param>
    public Kept Create(IReadOnlyDictionary<JobField, string> fields, CircuitSource? circuit)
    {
        ArgumentNullException.ThrowIfNull(fields);
        if (fields.Values.Select(TooLong).OfType<Diagnostic>().FirstOrDefault() is { } problem)
        {
            return new Kept(0, problem);
        }
        long number = 0;
        var failed = _database.Write(transaction =>
        {
            var now = JobTime.Write(_clock.GetUtcNow());
            number = transaction.InsertJob(now, now, JobState.TakenIn, circuit, null);
            foreach (var (field, text) in fields)
            {
                transaction.SetField(number, field.Name(), text);
            }
        });
        return failed is null ? new Kept(number, null) : new Kept(0, failed);
    }

    /// <summary>Writes a field of a job.</summary>
    public Diagnostic? SetField(long job, JobField field, string text) =>
        TooLong(text) ?? Change(job, transaction => transaction.SetField(job, field.Name(), text));

    /// <summary>Remembers the view in which a job is left; that is no change of the job.</summary>
    public Diagnostic? SetView(long job, string view) =>
        TooLong(view)
        ?? _database.Write(transaction => transaction.SetField(job, JobField.View.Name(), view));

    /// <summary>Changes the state of a job.</summary>
    public Diagnostic? SetState(long job, JobState state) =>
        Change(
            job,
            transaction =>
                transaction.Run(
                    "UPDATE job SET state = $state WHERE number = $job",
                    ("$state", state.Name()),
                    ("$job", job)
                )
        );

    /// <summary>Changes the circuit of a job.</summary>
    public Diagnostic? SetCircuit(long job, CircuitSource circuit) =>
        Change(
            job,
            transaction =>
            {
                transaction.KeepCircuit(circuit);
                transaction.Run(
                    "UPDATE job SET circuit = $key WHERE number = $job",
                    ("$key", circuit.Key),
                    ("$job", job)
                );
            }
        );

    /// <summary>The job, or null when there is none of that number.</summary>
    public Job? Load(long job) => _database.Read(transaction => transaction.LoadJob(job));

    /// <summary>Jobs, the one changed last first.</summary>
    /// <param name="text">Words that all must occur in its fields, without regard to case; empty finds every job.</param>
    /// <param name="state">Only jobs of that state; null for all.</param>
    /// <param name="most">Most jobs listed.</param>
    public ImmutableArray<JobSummary> Find(
        string text = "",
        JobState? state = null,
        int most = 200
    ) => _database.Read(transaction => transaction.FindJobs(text, state, most));

    /// <summary>Circuits that earlier jobs used, the one used last first.</summary>
    public ImmutableArray<CircuitSource> Circuits() =>
        _database.Read(transaction => transaction.AllCircuits());

    /// <summary>A setting of the shop; empty when it is not set.</summary>
    public string Setting(string name) =>
        _database.Read(transaction =>
            transaction.Scalar("SELECT content FROM setting WHERE name = $name", ("$name", name))
                as string
            ?? ""
        );

    /// <summary>Writes a setting of the shop.</summary>
    public Diagnostic? SetSetting(string name, string text) =>
        TooLong(text)
        ?? _database.Write(transaction =>
            transaction.Run(
                "INSERT INTO setting VALUES ($name, $text) ON CONFLICT DO UPDATE SET content = $text",
                ("$name", name),
                ("$text", text)
            )
        );

    /// <summary>Closes the file.</summary>
    public void Dispose() => _database.Dispose();

    // Every change is stamped; a job that is not there is a problem, not an exception.
    private Diagnostic? Change(long job, Action<JobTransaction> work)
    {
        var found = false;
        var failed = _database.Write(transaction =>
        {
            var stamped = transaction.Run(
                "UPDATE job SET changed = $now WHERE number = $job",
                ("$now", JobTime.Write(_clock.GetUtcNow())),
                ("$job", job)
            );
            found = stamped == 1;
            if (found)
            {
                work(transaction);
            }
        });
        return failed
            ?? (found ? null : new Diagnostic(Severity.Error, null, $"there is no job {job}"));
    }

    private static Diagnostic? TooLong(string text) =>
        text.Length <= JobFields.LongestText
            ? null
            : new Diagnostic(
                Severity.Error,
                null,
                $"the text has {text.Length} characters, more than the {JobFields.LongestText} that are kept",
                "shorten it"
            );
}

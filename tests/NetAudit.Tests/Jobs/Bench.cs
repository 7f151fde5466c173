using NetAudit.Circuits;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Tests.Jobs;

/// <summary>A store in a folder of its own, with a clock that stands still until it is moved.</summary>
internal sealed class Bench : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("netaudit-jobs-").FullName;

    /// <summary>The clock.</summary>
    public SteppedClock Clock { get; } = new();

    /// <summary>The file of jobs.</summary>
    public string File => InFolder("jobs.db");

    /// <summary>The sample circuit that most tests use.</summary>
    public static CircuitSource Source { get; } =
        CircuitSource.Take(Repository.File("sample-circuits/marram-20.cir")).Source!;

    /// <summary>The same, read.</summary>
    public static Amplifier Amplifier { get; } = Source.Read().Amplifier!;

    /// <summary>A path in the folder.</summary>
    public string InFolder(string name) => Path.Combine(_folder, name);

    /// <summary>Opens the store.</summary>
    public JobStore Open()
    {
        var (store, problem) = JobStore.Open(File, Clock);
        return store ?? throw new InvalidOperationException(problem!.ToString());
    }

    /// <summary>A job of the sample circuit.</summary>
    public static long NewJob(JobStore store, string model = "Marram 20") =>
        store.Create(new Dictionary<JobField, string> { [JobField.Model] = model }, Source).Number;

    /// <summary>A reading of the sample circuit.</summary>
    public static Reading Read(string line) => TypedReading.Read(line, Amplifier).Readings.Single();

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}

/// <summary>A clock that moves when told.</summary>
internal sealed class SteppedClock : TimeProvider
{
    private DateTimeOffset _now = new(2026, 3, 2, 9, 0, 0, TimeSpan.Zero);

    public override DateTimeOffset GetUtcNow() => _now;

    public void Step(TimeSpan by) => _now += by;
}

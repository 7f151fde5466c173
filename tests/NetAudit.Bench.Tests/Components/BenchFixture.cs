using NetAudit.Bench.Circuits;
using NetAudit.Bench.Sessions;
using NetAudit.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Bench.Tests.Components;

/// <summary>A job of a sample circuit in a store of its own, as components see it.</summary>
internal sealed class BenchFixture : IDisposable
{
    private static readonly CircuitSource Usual = CircuitSource
        .Take(Repository.File("sample-circuits/marram-20.cir"))
        .Source!;

    private readonly TemporaryFolder _folder = new();

    public BenchFixture(bool acknowledged = true, CircuitSource? circuit = null)
    {
        Store = JobStore.Open(_folder.File("jobs.db"), TimeProvider.System).Store!;
        Shelf = new CircuitShelf(Store, null);
        var number = Store
            .Create(
                new Dictionary<JobField, string> { [JobField.Model] = "Marram 20" },
                circuit ?? Usual
            )
            .Number;
        Session = new JobSession(Store, Shelf, Store.Load(number)!);
        Tab = new BenchTab(Session);
        if (acknowledged)
        {
            Session.Acknowledge();
        }
    }

    public JobStore Store { get; }

    public CircuitShelf Shelf { get; }

    public JobSession Session { get; }

    public BenchTab Tab { get; }

    public Amplifier Amplifier => Session.Circuit!.Amplifier!;

    public ExpectedReading Expected(string point) =>
        Session.Circuit!.At(Amplifier.FindPoint(point)!.Node)!;

    /// <summary>Keeps a reading as typed.</summary>
    public void Enter(string line) =>
        Session.AddReading(
            ReadingPhase.Before,
            TypedReading.Read(line, Amplifier).Readings.Single()
        );

    /// <summary>Waits until the search is at its end.</summary>
    public async Task<DiagnosisResult> WeighedAsync()
    {
        for (var i = 0; i < 4000; i++)
        {
            if (Session.Answer(ReadingPhase.Before) is { IsWorking: false, Result: { } result })
            {
                return result;
            }
            await Task.Delay(50);
        }
        throw new TimeoutException("no answer");
    }

    public void Dispose()
    {
        Session.Dispose();
        Store.Dispose();
        _folder.Dispose();
    }
}

using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>What a job knows is weighed: readings, complaint, and what the first checks saw.</summary>
public sealed class JobEvidenceTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void Complaint_OfTheList_IsEvidenceBeforeTheWorkOnly()
    {
        var job = Job(store => store.SetField(1, JobField.Complaint, "hums"));

        Assert.Equal("hums", Of(job).Options.Complaint);
        Assert.Null(JobEvidence.Of(job, ReadingPhase.After, Bench.Amplifier).Options.Complaint);
    }

    [Fact]
    public void Complaint_InOtherWords_IsNone()
    {
        var job = Job(store => store.SetField(1, JobField.Complaint, "smells"));

        Assert.Null(Of(job).Options.Complaint);
    }

    [Fact]
    public void BurntPart_NamedInTheNote_IsSeen()
    {
        var job = Job(store => store.SetCheck(1, "burnt", "found", "R3, near v2 (brown)"));

        Assert.Equal(
            [("R3", "burnt"), ("V2", "burnt")],
            Of(job).Readings.Select(reading => (reading.Part!, reading.Word!))
        );
    }

    [Fact]
    public void SoundCapacitors_SpeakForEveryElectrolytic()
    {
        var job = Job(store => store.SetCheck(1, "capacitors", "look sound", ""));

        var seen = Of(job).Readings;

        Assert.NotEmpty(seen);
        Assert.All(seen, reading => Assert.Equal("clean", reading.Word));
        Assert.Equal(
            Bench.Amplifier.Parts.Count(p => p.Class == NetAudit.Circuits.PartClass.Electrolytic),
            seen.Length
        );
    }

    [Fact]
    public void BlownFuse_AccusesWhatBlowsFuses()
    {
        var job = Job(store => store.SetCheck(1, "mains-fuse", "blown", ""));
        var (readings, options) = Of(job);
        var diagnoser = Diagnoser.Prepare(Bench.Amplifier).Diagnoser!;

        var fuse = diagnoser.Diagnose(readings, options, TestContext.Current.CancellationToken);
        var word = diagnoser.Diagnose(
            [],
            new() { Complaint = "blows fuse" },
            TestContext.Current.CancellationToken
        );

        Assert.Equal(
            word.Suspects[0].Faults.Select(fault => fault.Describe()),
            fuse.Suspects[0].Faults.Select(fault => fault.Describe())
        );
    }

    [Fact]
    public void WrongFuse_AccusesNoPart()
    {
        var job = Job(store => store.SetCheck(1, "mains-fuse", "bridged", ""));

        Assert.Empty(Of(job).Readings);
    }

    private static (
        System.Collections.Immutable.ImmutableArray<Reading> Readings,
        DiagnosisOptions Options
    ) Of(Job job) => JobEvidence.Of(job, ReadingPhase.Before, Bench.Amplifier);

    private Job Job(Action<JobStore> fill)
    {
        using var store = _bench.Open();
        Assert.Equal(1, Bench.NewJob(store));
        fill(store);
        return store.Load(1)!;
    }
}

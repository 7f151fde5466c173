using System.Text;
using System.Text.Json.Nodes;
using CsCheck;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>A job goes to another machine as one file, and a file from elsewhere does no harm.</summary>
public sealed class JobFileTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void Exported_ImportsElsewhere_Whole()
    {
        var text = JobExport.ToText(Sample());
        using var elsewhere = new Bench();
        using var store = elsewhere.Open();
        Bench.NewJob(store, "another");

        var (read, problems) = JobImport.Read(Encoding.UTF8.GetBytes(text), "job.json");
        Assert.Empty(problems);
        var kept = store.Import(read!);
        var again = store.Import(read!);

        Assert.Equal(2, kept.Number);
        Assert.Equal(kept.Number, again.Number);
        var job = store.Load(kept.Number)!;
        Assert.Equal(
            text,
            JobExport.ToText(job with { Number = read!.Number, Changed = read.Changed })
        );
        Assert.NotNull(job.Circuit!.Read().Amplifier);
    }

    [Fact]
    public void IncludedFiles_TravelWithTheJob()
    {
        File.WriteAllText(_bench.InFolder("parts.inc"), "R2 b 0 1k\n");
        File.WriteAllText(
            _bench.InFolder("unit.cir"),
            "Divider\nV1 a 0 10\nR1 a b 1k\n.include parts.inc\n.end\n"
        );

        var (source, _) = CircuitSource.Take(_bench.InFolder("unit.cir"));
        File.Delete(_bench.InFolder("parts.inc"));

        Assert.Equal(["parts.inc"], source!.Includes.Keys);
        Assert.Equal(2, source.Read().Amplifier!.Parts.Count(p => p.Name.StartsWith('R')));
    }

    [Theory]
    [InlineData("/etc/passwd")]
    [InlineData("../../../../etc/passwd")]
    [InlineData("jobs.db")]
    public void ImportedCircuit_ReadsNoFile(string include)
    {
        _bench.Open().Dispose();
        var file = JsonNode.Parse(JobExport.ToText(Sample()))!;
        file["circuit"]!["netlist"] = $"T\nV1 a 0 1\nR1 a 0 1\n.include {include}\n.end\n";

        var (job, _) = JobImport.Read(Encoding.UTF8.GetBytes(file.ToJsonString()), "job.json");
        var read = job!.Circuit!.Read();

        Assert.Null(read.Amplifier);
        Assert.DoesNotContain(
            read.Diagnostics,
            d => d.ToString().Contains("root:", StringComparison.Ordinal)
        );
    }

    [Theory]
    [InlineData("")]
    [InlineData("null")]
    [InlineData("[]")]
    [InlineData("{}")]
    [InlineData("{\"format\":\"netaudit-job\"}")]
    [InlineData("{\"format\":\"netaudit-job\",\"version\":2}")]
    [InlineData("{\"format\":\"other\",\"version\":1}")]
    [InlineData("{\"format\":1,\"version\":1}")]
    [InlineData("{\"format\":\"netaudit-job\",\"format\":\"netaudit-job\"}")]
    public void FileThatIsNone_IsRefusedWithItsPlace(string text)
    {
        var (job, problems) = JobImport.Read(Encoding.UTF8.GetBytes(text), "job.json");

        Assert.Null(job);
        Assert.StartsWith("job.json:", problems.Single().ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void FileTooLarge_TooDeep_OrNotText_IsRefused()
    {
        Assert.Null(JobImport.Read(new byte[JobImport.MostBytes + 1], "a").Job);
        Assert.Null(JobImport.Read(Encoding.UTF8.GetBytes(new string('[', 100_000)), "a").Job);
        Assert.Null(JobImport.Read(new byte[] { 0x22, 0xff, 0xfe, 0x22 }, "a").Job);
    }

    [Fact]
    public void DamagedFiles_NeverThrow()
    {
        var bytes = Encoding.UTF8.GetBytes(JobExport.ToText(Sample()));
        Gen.Select(Gen.Int[0, bytes.Length - 1], Gen.Byte, Gen.Int[0, 40])
            .Array[1, 6]
            .Sample(
                damages =>
                {
                    var damaged = bytes.ToList();
                    foreach (var (at, value, cut) in damages)
                    {
                        var place = at % damaged.Count;
                        damaged[place] = value;
                        damaged.RemoveRange(place, Math.Min(cut, damaged.Count - place - 1));
                    }
                    var (job, problems) = JobImport.Read(damaged.ToArray(), "job.json");
                    Assert.True(job is null == problems.Length > 0);
                },
                iter: 2000
            );
    }

    private Job Sample()
    {
        using var store = _bench.Open();
        var number = Bench.NewJob(store, "Marram <b>20</b> \u202Eabc");
        store.SetField(number, JobField.Words, "hums \"loudly\"\nafter an hour");
        store.SetCheck(number, "burnt", "found", "R41");
        store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 182"));
        store.TakeBack(number, 1);
        store.AddReading(number, ReadingPhase.After, Bench.Read("p1 OL ohms"));
        store.AddStep(number, StepKind.Reflowed, "V1", "pin 3", "");
        store.AddPrice(number, "Labour", true, 1.25m, 70);
        store.Acknowledge(number, ["Pull the plug."]);
        return store.Load(number)!;
    }
}

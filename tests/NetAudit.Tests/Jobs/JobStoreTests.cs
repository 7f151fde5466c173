using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>What was kept is there when the file is opened again.</summary>
public sealed class JobStoreTests : IDisposable
{
    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void Everything_IsThereAfterReopening()
    {
        long number;
        using (var store = _bench.Open())
        {
            number = Bench.NewJob(store);
            Assert.Null(store.SetField(number, JobField.Words, "It hums, then goes quiet."));
            Assert.Null(store.SetState(number, JobState.OnBench));
            Assert.Null(store.SetCheck(number, "capacitors", "bulging", "C5"));
            Assert.Equal(
                1,
                store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 182")).Number
            );
            Assert.Equal(
                2,
                store.AddReading(number, ReadingPhase.After, Bench.Read("p1 170.5")).Number
            );
            Assert.Equal(
                1,
                store.AddStep(number, StepKind.Replaced, "R3", "was open", "100k 1 W").Number
            );
            Assert.Equal(1, store.AddPrice(number, "Resistor", false, 2, 0.45m).Number);
            Assert.Null(store.Acknowledge(number, ["Pull the plug.", "Pull the plug."]));
        }

        using var again = _bench.Open();
        var job = again.Load(number)!;

        Assert.Equal("It hums, then goes quiet.", job[JobField.Words]);
        Assert.Equal(JobState.OnBench, job.State);
        Assert.Equal(Bench.Source, job.Circuit);
        Assert.Equal(
            ("capacitors", "bulging", "C5"),
            (job.Checks[0].Check, job.Checks[0].Answer, job.Checks[0].Note)
        );
        Assert.Equal("182", job.Standing(ReadingPhase.Before).Single().Value);
        Assert.Equal("170.5", job.Standing(ReadingPhase.After).Single().Value);
        Assert.Equal("100k 1 W", job.Steps.Single().PartUsed);
        Assert.Equal(0.90m, job.Prices.Single().Total);
        Assert.Equal("Pull the plug.", job.Cautions.Single().Text);
        Assert.Equal(_bench.Clock.GetUtcNow(), job.Opened);
    }

    [Fact]
    public void TakeBack_KeepsTheReadingInTheRecord()
    {
        using var store = _bench.Open();
        var number = Bench.NewJob(store);
        var first = store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 1820")).Number;

        Assert.Null(store.TakeBack(number, first));
        var second = store.AddReading(number, ReadingPhase.Before, Bench.Read("p1 182")).Number;

        var job = store.Load(number)!;
        Assert.Equal([first, second], job.Readings.Select(r => r.Number));
        Assert.Equal("182", job.Standing(ReadingPhase.Before).Single().Value);
        Assert.True(job.Readings[0].TakenBack);
    }

    [Theory]
    [InlineData("out 1.2 ac @ volume=0.7", "ac", "1.2")]
    [InlineData("p1 OL ohms", "ohms", "OL")]
    [InlineData("V1 tap noisy", "tap", "noisy")]
    [InlineData("p1-k1 180", "dc", "180")]
    public void Readings_OfEveryKind_ComeBackAsTheyWere(string line, string kind, string value)
    {
        using var store = _bench.Open();
        var number = Bench.NewJob(store);
        var typed = Bench.Read(line);

        store.AddReading(number, ReadingPhase.Before, typed);

        var job = store.Load(number)!;
        var kept = job.Standing(ReadingPhase.Before).Single();
        Assert.Equal((kind, value), (kept.Kind, kept.Value));
        var resolved = ResolvedReadings.Of(job, ReadingPhase.Before, Bench.Amplifier);
        Assert.Empty(resolved.Problems);
        Assert.Equal(
            typed with
            {
                Where = default,
            },
            resolved.Readings.Single().Reading with
            {
                Where = default,
            }
        );
    }

    [Fact]
    public void Find_WordsAndState_NarrowTheList()
    {
        using var store = _bench.Open();
        var first = Bench.NewJob(store, "Marram 20");
        _bench.Clock.Step(TimeSpan.FromMinutes(1));
        var second = Bench.NewJob(store, "Marram 5");
        store.SetField(second, JobField.Words, "100% silent_after rain");
        store.SetState(first, JobState.Ready);

        Assert.Equal([second, first], store.Find().Select(j => j.Number));
        Assert.Equal([second], store.Find("marram RAIN").Select(j => j.Number));
        Assert.Equal([second], store.Find("100%").Select(j => j.Number));
        Assert.Empty(store.Find("l_nt"));
        Assert.Equal([first], store.Find("", JobState.Ready).Select(j => j.Number));
        Assert.Equal([first], store.Find("1").Where(j => j.Number == first).Select(j => j.Number));
    }

    [Fact]
    public void HostileText_IsKeptAsText()
    {
        const string Hostile = "'); DROP TABLE job; --<script>alert(1)</script>\u202E\u0000\r\n\"";
        using var store = _bench.Open();
        var number = Bench.NewJob(store, Hostile);

        Assert.Equal(Hostile, store.Load(number)![JobField.Model]);
        Assert.Equal(number, store.Find("DROP").Single().Number);
    }

    [Fact]
    public void TextTooLong_IsRefused()
    {
        using var store = _bench.Open();
        var number = Bench.NewJob(store);

        Assert.NotNull(store.SetField(number, JobField.Words, new string('x', 20_001)));
        Assert.Null(store.SetField(number, JobField.Words, new string('x', 20_000)));
    }

    [Fact]
    public void JobThatIsNotThere_IsAProblem()
    {
        using var store = _bench.Open();

        Assert.Contains(
            "no job 7",
            store.SetField(7, JobField.Words, "x")!.Message,
            StringComparison.Ordinal
        );
        Assert.NotNull(store.AddReading(7, ReadingPhase.Before, Bench.Read("p1 182")).Problem);
        Assert.Null(store.Load(7));
    }

    [Fact]
    public void TwoStores_OnOneFile_SeeEachOther()
    {
        using var one = _bench.Open();
        using var other = _bench.Open();
        var number = Bench.NewJob(one);

        for (var i = 0; i < 20; i++)
        {
            var store = i % 2 == 0 ? one : other;
            Assert.Equal(
                i + 1,
                store.AddReading(number, ReadingPhase.Before, Bench.Read($"p1 {100 + i}")).Number
            );
        }

        Assert.Equal(20, one.Load(number)!.Readings.Length);
    }
}

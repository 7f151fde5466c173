using System.Diagnostics;
using System.Globalization;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Sessions;
using NetAudit.Expectations;
using NetAudit.Jobs;
using Xunit;

namespace NetAudit.Bench.Tests.Entry;

/// <summary>Twenty benches at once on one server: every reading is on the disk and every bench gets its answer. Times are reported, not judged.</summary>
public sealed class LoadTests(ITestOutputHelper output)
{
    private const int Benches = 20;
    private const int ReadingsEach = 10;

    [Fact]
    public async Task TwentyBenches_AtOnce()
    {
        using var folder = new TemporaryFolder();
        using var store = JobStore.Open(folder.File("jobs.db"), TimeProvider.System).Store!;
        var shelf = new CircuitShelf(store, Repository.File("sample-circuits/marram-50-a.cir"));
        var (source, lines) = Sample(shelf);
        var sessions = Enumerable
            .Range(0, Benches)
            .Select(_ => store.Create(new Dictionary<JobField, string>(), source).Number)
            .Select(number => new JobSession(store, shelf, store.Load(number)!))
            .ToArray();
        var kept = new System.Collections.Concurrent.ConcurrentBag<double>();

        await Parallel.ForEachAsync(
            sessions,
            new ParallelOptions { MaxDegreeOfParallelism = Benches },
            async (session, cancellation) =>
            {
                foreach (var reading in lines)
                {
                    var start = Stopwatch.GetTimestamp();
                    Assert.Null(session.AddReading(ReadingPhase.Before, reading).Problem);
                    kept.Add(Stopwatch.GetElapsedTime(start).TotalMilliseconds);
                    await Task.Delay(20, cancellation);
                }
            }
        );
        var answered = Stopwatch.GetTimestamp();
        foreach (var session in sessions)
        {
            while (
                session.Answer(ReadingPhase.Before)
                    is { IsWorking: true }
                        or { Result: null, Problem: null }
            )
            {
                await Task.Delay(20, TestContext.Current.CancellationToken);
            }
        }

        var times = kept.Order().ToArray();
        output.WriteLine(
            FormattableString.Invariant(
                $"{times.Length} readings kept: median {times[times.Length / 2]:0.0} ms, 95 % {times[times.Length * 95 / 100]:0.0} ms; all answers final {Stopwatch.GetElapsedTime(answered).TotalSeconds:0.0} s after the last"
            )
        );
        Assert.All(
            sessions,
            session =>
            {
                Assert.Equal(ReadingsEach, store.Load(session.Job.Number)!.Readings.Length);
                Assert.Equal(
                    ReadingsEach,
                    session.Answer(ReadingPhase.Before).Result!.Readings.Length
                );
                session.Dispose();
            }
        );
    }

    [Fact]
    public async Task OneBench_AnswersAfterEachReading()
    {
        using var folder = new TemporaryFolder();
        using var store = JobStore.Open(folder.File("jobs.db"), TimeProvider.System).Store!;
        var shelf = new CircuitShelf(store, Repository.File("sample-circuits/marram-50-a.cir"));
        var (source, lines) = Sample(shelf);
        var number = store.Create(new Dictionary<JobField, string>(), source).Number;
        using var session = new JobSession(store, shelf, store.Load(number)!);
        var first = new List<double>();
        var last = new List<double>();

        foreach (var reading in lines)
        {
            var start = Stopwatch.GetTimestamp();
            Assert.Null(session.AddReading(ReadingPhase.Before, reading).Problem);
            var count = session.Readings(ReadingPhase.Before).Length;
            while (
                session.Answer(ReadingPhase.Before).Result is not { } result
                || result.Readings.Length < count
            )
            {
                await Task.Delay(1, TestContext.Current.CancellationToken);
            }
            first.Add(Stopwatch.GetElapsedTime(start).TotalMilliseconds);
            while (session.Answer(ReadingPhase.Before).IsWorking)
            {
                await Task.Delay(1, TestContext.Current.CancellationToken);
            }
            last.Add(Stopwatch.GetElapsedTime(start).TotalMilliseconds);
        }

        output.WriteLine(Summary("first answer (singles)", first));
        output.WriteLine(Summary("final answer", last));
        Assert.Equal(lines.Length, session.Answer(ReadingPhase.Before).Result!.Readings.Length);
    }

    private static string Summary(string what, List<double> times)
    {
        var sorted = times.Order().ToArray();
        return FormattableString.Invariant(
            $"{what}: median {sorted[sorted.Length / 2]:0} ms, 95 % {sorted[sorted.Length * 95 / 100]:0} ms, first of all {times[0]:0} ms"
        );
    }

    private static (CircuitSource Source, Reading[] Lines) Sample(CircuitShelf shelf)
    {
        var source = shelf.Given.Single().Source;
        var amplifier = shelf.Prepare(source).Amplifier!;
        var lines = File.ReadLines(
                Repository.File("sample-circuits/readings/marram-50-a-unit1.csv")
            )
            .Skip(1)
            .Select(line => line.Split(','))
            .Where(cells => Math.Abs(double.Parse(cells[2], CultureInfo.InvariantCulture)) > 0.2)
            .Select(cells =>
                TypedReading.Read($"{cells[0]} {cells[2]}", amplifier).Readings.Single()
            )
            .Take(ReadingsEach)
            .ToArray();
        return (source, lines);
    }
}

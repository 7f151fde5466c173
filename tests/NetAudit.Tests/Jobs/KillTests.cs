using System.Diagnostics;
using System.Globalization;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>
/// The process is killed at random moments while readings are entered: every reading that was confirmed is there afterwards, once, and in
/// order. NETAUDIT_KILLS sets how often (500 is the long run; it takes some minutes).
/// A start reads its whole job, so a new job is begun after some kills: the last start is then as cheap as the first.
/// </summary>
public sealed class KillTests : IDisposable
{
    private const int KillsInCi = 12;
    private const int KillsPerJob = 20;

    // More is refused as a slip.
    private const int MostVolts = 100_000;

    private readonly Bench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task Killed_AtRandomMoments_EveryConfirmedReadingIsThere()
    {
        var kills = int.Parse(
            Environment.GetEnvironmentVariable("NETAUDIT_KILLS") ?? $"{KillsInCi}",
            CultureInfo.InvariantCulture
        );
        var random = new Random(20260302);
        var typed = 0;
        var jobs = new List<(long Number, List<(long Number, string Value)> Confirmed)>();

        for (var kill = 0; kill < kills; kill++)
        {
            if (kill % KillsPerJob == 0)
            {
                using var store = _bench.Open();
                jobs.Add((Bench.NewJob(store), []));
            }
            var (number, confirmed) = jobs[^1];
            using var process = Start(number);
            var output = process.StandardOutput;
            var ready = new TaskCompletionSource();
            // Confirmations are read while more is typed, as a person and a page do.
            var reading = Task.Run(async () =>
            {
                while (await output.ReadLineAsync() is { } line)
                {
                    confirmed.Add(Confirmation(line));
                    ready.TrySetResult();
                }
            });
            process.StandardInput.AutoFlush = true;
            var end = Task.WhenAny(ready.Task, Task.Delay(TimeSpan.FromSeconds(60)))
                .ContinueWith(_ => Task.Delay(random.Next(0, 120)), TaskScheduler.Default)
                .Unwrap();
            while (!end.IsCompleted)
            {
                typed++;
                await process.StandardInput.WriteLineAsync($"p1 {typed % MostVolts}");
                await Task.Delay(ready.Task.IsCompleted ? 0 : 20);
            }
            process.Kill();
            await process.WaitForExitAsync();
            await reading;

            AssertKept(number, confirmed);
        }
        foreach (var (number, confirmed) in jobs)
        {
            AssertKept(number, confirmed);
        }
        var total = jobs.Sum(job => job.Confirmed.Count);
        Assert.True(total > kills, $"only {total} readings were confirmed in {kills} runs");
        TestContext.Current.SendDiagnosticMessage($"{total} confirmed in {kills} runs");
    }

    private void AssertKept(long number, List<(long Number, string Value)> confirmed)
    {
        using var store = _bench.Open();
        var kept = store.Load(number)!.Readings.ToDictionary(r => r.Number, r => r.Value);
        Assert.All(confirmed, c => Assert.Equal(c.Value, kept[c.Number]));
        Assert.Equal(kept.Count, kept.Keys.DefaultIfEmpty(0).Max());
    }

    private Process Start(long number)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
        };
        string[] args =
        [
            Path.Combine(AppContext.BaseDirectory, "NetAudit.Cli.dll"),
            "jobs",
            "enter",
            $"{number}",
            "--jobs",
            _bench.File,
        ];
        foreach (var arg in args)
        {
            start.ArgumentList.Add(arg);
        }
        return Process.Start(start)!;
    }

    // kept 12: p1 182; a line cut off by the kill is no confirmation.
    private static (long, string) Confirmation(string line)
    {
        var words = line.Split(' ', ':');
        return (long.Parse(words[1], CultureInfo.InvariantCulture), words[^1]);
    }
}

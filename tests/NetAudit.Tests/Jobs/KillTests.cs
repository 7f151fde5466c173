using System.Diagnostics;
using System.Globalization;
using Xunit;

namespace NetAudit.Tests.Jobs;

/// <summary>
/// The process is killed at random moments while readings are entered: every reading that was confirmed is there afterwards, once, and in
/// order. NETAUDIT_KILLS sets how often (500 is the long run; it takes some minutes).
/// </summary>
public sealed class KillTests : IDisposable
{
    private const int KillsInCi = 12;

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
        long number;
        using (var store = _bench.Open())
        {
            number = Bench.NewJob(store);
        }
        var confirmed = new List<(long Number, string Value)>();
        var typed = 0;

        for (var kill = 0; kill < kills; kill++)
        {
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
                await process.StandardInput.WriteLineAsync($"p1 {typed}");
                await Task.Delay(ready.Task.IsCompleted ? 0 : 20);
            }
            process.Kill();
            await process.WaitForExitAsync();
            await reading;

            using var store = _bench.Open();
            var kept = store.Load(number)!.Readings.ToDictionary(r => r.Number, r => r.Value);
            Assert.All(confirmed, c => Assert.Equal(c.Value, kept[c.Number]));
            Assert.Equal(kept.Count, kept.Keys.DefaultIfEmpty(0).Max());
        }
        Assert.True(
            confirmed.Count > kills,
            $"only {confirmed.Count} readings were confirmed in {kills} runs"
        );
    }

    private Process Start(long number)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
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

using Spectre.Console;

namespace NetAudit.Cli.Terminals;

/// <summary>Shows that long work goes on.</summary>
internal static class Progress
{
    /// <summary>Work shorter than this shows nothing.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(0.7);

    /// <summary>How often the part done is shown anew.</summary>
    private static readonly TimeSpan Beat = TimeSpan.FromSeconds(0.2);

    /// <summary>Does the work on another thread, so that Ctrl-C is heard, and shows a sign of life on a terminal when it takes long.</summary>
    public static Task<T> DuringAsync<T>(StandardStreams streams, string what, Func<T> work) =>
        DuringAsync(streams, () => what, work);

    /// <summary>As above, for work that says how far it is.</summary>
    public static Task<T> DuringAsync<T>(
        StandardStreams streams,
        string what,
        Func<IProgress<double>, T> work
    )
    {
        var done = new PartDone();
        return DuringAsync(
            streams,
            () => FormattableString.Invariant($"{what}, {100 * done.Part:0} %"),
            () => work(done)
        );
    }

    private static async Task<T> DuringAsync<T>(
        StandardStreams streams,
        Func<string> what,
        Func<T> work
    )
    {
        var task = Task.Run(work);
        if (streams.ShowsProgress)
        {
            await Task.WhenAny(task, Task.Delay(Patience));
            if (!task.IsCompleted)
            {
                await ShowAsync(streams, what, task);
            }
        }
        return await task;
    }

    private static async Task ShowAsync(StandardStreams streams, Func<string> what, Task task)
    {
        var console = AnsiConsole.Create(
            new AnsiConsoleSettings { Out = new AnsiConsoleOutput(streams.Error) }
        );
        await console
            .Status()
            .Spinner(Spinner.Known.Line)
            .StartAsync(
                what(),
                async status =>
                {
                    while (!task.IsCompleted)
                    {
                        await Task.WhenAny(task, Task.Delay(Beat));
                        status.Status = what();
                    }
                }
            );
    }

    // Told from the thread that works, read from the one that shows.
    private sealed class PartDone : IProgress<double>
    {
        private double _part;

        public double Part => Volatile.Read(ref _part);

        public void Report(double value) => Volatile.Write(ref _part, value);
    }
}

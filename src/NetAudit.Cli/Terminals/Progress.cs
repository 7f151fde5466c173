using Spectre.Console;

namespace NetAudit.Cli.Terminals;

/// <summary>Shows that long work goes on.</summary>
internal static class Progress
{
    /// <summary>Work shorter than this shows nothing.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(0.7);

    /// <summary>Does the work on another thread, so that Ctrl-C is heard, and shows a sign of life on a terminal when it takes long.</summary>
    public static async Task<T> DuringAsync<T>(StandardStreams streams, string what, Func<T> work)
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

    private static async Task ShowAsync(StandardStreams streams, string what, Task task)
    {
        var console = AnsiConsole.Create(
            new AnsiConsoleSettings { Out = new AnsiConsoleOutput(streams.Error) }
        );
        await console
            .Status()
            .Spinner(Spinner.Known.Line)
            .StartAsync(what, _ => Task.WhenAny(task));
    }
}

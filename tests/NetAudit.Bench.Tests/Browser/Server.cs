using System.Diagnostics;

namespace NetAudit.Bench.Tests.Browser;

/// <summary>The built command serving the bench page as a process of its own.</summary>
internal sealed class Server : IDisposable
{
    private readonly Process _process;
    private readonly List<string> _lines = [];

    private Server(Process process) => _process = process;

    /// <summary>Where the page is.</summary>
    public string Address { get; private set; } = "";

    /// <summary>Starts it.</summary>
    /// <param name="jobs">File of jobs.</param>
    /// <param name="port">Port; 0 for any.</param>
    /// <param name="more">Further arguments.</param>
    public static async Task<Server> StartAsync(string jobs, int port = 0, params string[] more)
    {
        var configuration = AppContext.BaseDirectory.Contains("/Release/", StringComparison.Ordinal)
            ? "Release"
            : "Debug";
        var start = new ProcessStartInfo("dotnet")
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = Repository.File("."),
        };
        string[] args =
        [
            Repository.File($"src/NetAudit.Cli/bin/{configuration}/net10.0/NetAudit.Cli.dll"),
            "bench",
            "sample-circuits",
            "--jobs",
            jobs,
            "--port",
            $"{port}",
            "--no-browser",
            .. more,
        ];
        foreach (var arg in args)
        {
            start.ArgumentList.Add(arg);
        }
        var server = new Server(Process.Start(start)!);
        var ready = new TaskCompletionSource();
        server._process.OutputDataReceived += (_, line) => server.Take(line.Data, ready);
        server._process.ErrorDataReceived += (_, line) => server.Take(line.Data, ready);
        server._process.BeginOutputReadLine();
        server._process.BeginErrorReadLine();
        await Task.WhenAny(ready.Task, Task.Delay(TimeSpan.FromSeconds(60)));
        if (!ready.Task.IsCompleted)
        {
            throw new InvalidOperationException("The bench page was not served: " + server.Said);
        }
        return server;
    }

    /// <summary>Everything it wrote.</summary>
    public string Said
    {
        get
        {
            lock (_lines)
            {
                return string.Join('\n', _lines);
            }
        }
    }

    /// <summary>Kills it as a power cut would.</summary>
    public void Kill()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
            _process.WaitForExit();
        }
    }

    public void Dispose()
    {
        Kill();
        _process.Dispose();
    }

    private void Take(string? line, TaskCompletionSource ready)
    {
        if (line is null)
        {
            return;
        }
        lock (_lines)
        {
            _lines.Add(line);
        }
        if (line.StartsWith("The bench page is at ", StringComparison.Ordinal))
        {
            Address = line["The bench page is at ".Length..];
        }
        if (line.StartsWith("Ctrl-C", StringComparison.Ordinal))
        {
            ready.TrySetResult();
        }
    }
}

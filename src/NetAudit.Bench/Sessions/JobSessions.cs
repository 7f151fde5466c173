using System.Collections.Concurrent;
using NetAudit.Bench.Circuits;
using NetAudit.Jobs;

namespace NetAudit.Bench.Sessions;

/// <summary>The jobs that are open, one session for all tabs of a job. Thread-safe.</summary>
public sealed class JobSessions(JobStore store, CircuitShelf shelf) : IDisposable
{
    private readonly ConcurrentDictionary<long, Lazy<JobSession?>> _open = new();

    /// <summary>The session of a job; null when there is no such job.</summary>
    public JobSession? Open(long number)
    {
        var session = _open
            .GetOrAdd(
                number,
                key => new Lazy<JobSession?>(() =>
                    store.Load(key) is { } job ? new JobSession(store, shelf, job) : null
                )
            )
            .Value;
        if (session is null)
        {
            _open.TryRemove(number, out _);
        }
        return session;
    }

    /// <summary>Ends all searches.</summary>
    public void Dispose()
    {
        foreach (var session in _open.Values.Where(lazy => lazy.IsValueCreated))
        {
            session.Value?.Dispose();
        }
    }
}

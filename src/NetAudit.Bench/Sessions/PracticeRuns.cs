using System.Security.Cryptography;

namespace NetAudit.Bench.Sessions;

/// <summary>
/// The practice runs of this server by key, so that a page that is loaded again goes on where it was. The oldest are forgotten, and none
/// outlives the server: practice is no record. Thread-safe.
/// </summary>
public sealed class PracticeRuns
{
    /// <summary>Runs kept.</summary>
    internal const int Most = 100;

    private readonly Lock _gate = new();
    private readonly Dictionary<string, PracticeRun> _runs = [];
    private readonly Queue<string> _order = new();

    /// <summary>Keeps a run.</summary>
    /// <returns>Its key: letters and digits that nobody guesses.</returns>
    public string Keep(PracticeRun run)
    {
        var key = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(8));
        lock (_gate)
        {
            _runs.Add(key, run);
            _order.Enqueue(key);
            if (_order.Count > Most)
            {
                _runs.Remove(_order.Dequeue());
            }
        }
        return key;
    }

    /// <summary>The run of a key; null when there is none, or it was forgotten.</summary>
    public PracticeRun? Find(string? key)
    {
        lock (_gate)
        {
            return key is not null && _runs.TryGetValue(key, out var run) ? run : null;
        }
    }
}

using System.Collections.Concurrent;

namespace NetAudit.Diagnosis.Search;

/// <summary>
/// Solvers of which one is lent to each processor, so that solves which do not depend on each other run side by side. What comes out
/// does not depend on their number as long as every piece of work begins from the same state.
/// </summary>
/// <param name="make">Makes one more.</param>
internal sealed class SolverPool<T>(Func<T> make)
{
    /// <summary>Ranges of work for each processor: few enough to cost nothing, many enough that none waits long for the others.</summary>
    private const int Ranges = 8;

    private readonly ConcurrentBag<T> _idle = [];

    /// <summary>Does every piece of work once.</summary>
    /// <param name="count">Number of pieces.</param>
    /// <param name="begin">Puts a solver into the state that every piece begins from.</param>
    /// <param name="work">Does a piece; writes to nothing that another reads.</param>
    /// <param name="cancellationToken">Cancels.</param>
    public void ForEach(
        int count,
        Action<T> begin,
        Action<int, T> work,
        CancellationToken cancellationToken
    )
    {
        if (count == 0)
        {
            return;
        }
        var processors = Environment.ProcessorCount;
        Parallel.ForEach(
            Partitioner.Create(0, count, Math.Max(1, count / (Ranges * processors))),
            new() { CancellationToken = cancellationToken, MaxDegreeOfParallelism = processors },
            () =>
            {
                var solver = _idle.TryTake(out var idle) ? idle : make();
                begin(solver);
                return solver;
            },
            (range, _, solver) =>
            {
                for (var i = range.Item1; i < range.Item2; i++)
                {
                    cancellationToken.ThrowIfCancellationRequested();
                    work(i, solver);
                }
                return solver;
            },
            _idle.Add
        );
    }
}

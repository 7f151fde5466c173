using System.Collections.Immutable;
using System.Diagnostics;
using NetAudit.Bench.Circuits;
using NetAudit.Diagnosis;
using NetAudit.Expectations;

namespace NetAudit.Bench.Sessions;

/// <summary>
/// Looks for the answer in the background: a first word by the likeliest single faults and pairs, then all of them, then larger sets. A new
/// reading ends the search that runs. Thread-safe.
/// </summary>
internal sealed class AnswerSearch(Action changed) : IDisposable
{
    private static readonly DiagnosisOptions[] Depths =
    [
        // The first answer is not kept waiting for what to read next.
        new() { MaxFaults = 2, IsQuick = true },
        new() { MaxFaults = 2, WithNext = true },
        new() { WithNext = true },
    ];

    private readonly Lock _turn = new();
    private CancellationTokenSource _running = new();

    /// <summary>Steps from the first answer to the final one.</summary>
    public static int Steps => Depths.Length;

    /// <summary>What is known now.</summary>
    public Answer Answer { get; private set; } = Answer.None;

    /// <summary>Begins anew with what is known now.</summary>
    public void Begin(
        PreparedCircuit circuit,
        ImmutableArray<Reading> readings,
        DiagnosisOptions known
    )
    {
        CancellationToken token;
        var isAny = readings.Length > 0 || known.Complaint is not null;
        lock (_turn)
        {
            _running.Cancel();
            _running.Dispose();
            _running = new CancellationTokenSource();
            token = _running.Token;
            Answer = isAny ? Answer with { IsWorking = true, Problem = null } : Answer.None;
        }
        if (isAny)
        {
            _ = Task.Run(
                () => SearchAsync(circuit, readings, known, token),
                CancellationToken.None
            );
        }
    }

    /// <summary>Ends the search that runs.</summary>
    public void Dispose()
    {
        lock (_turn)
        {
            _running.Cancel();
            _running.Dispose();
        }
    }

    private async Task SearchAsync(
        PreparedCircuit circuit,
        ImmutableArray<Reading> readings,
        DiagnosisOptions known,
        CancellationToken token
    )
    {
        var start = Stopwatch.GetTimestamp();
        try
        {
            for (var step = 1; step <= Steps; step++)
            {
                var options = Depths[step - 1] with
                {
                    Complaint = known.Complaint,
                    Experience = known.Experience,
                };
                var result = await circuit.WithDiagnoserAsync(
                    diagnoser => diagnoser.Diagnose(readings, options, token),
                    token
                );
                var took = step == 1 ? Stopwatch.GetElapsedTime(start) : Answer.Took;
                Publish(
                    result is null
                        ? new Answer(
                            null,
                            step,
                            false,
                            took,
                            circuit.Reason ?? "The circuit has no operating point."
                        )
                        : new Answer(result, step, step < Steps, took, null),
                    token
                );
            }
        }
        catch (OperationCanceledException)
        {
            // A newer reading has taken its place.
        }
        // A search that fails must not leave the page waiting: whatever went wrong is said.
#pragma warning disable CA1031
        catch (Exception fault)
#pragma warning restore CA1031
        {
            Publish(
                Answer with
                {
                    IsWorking = false,
                    Problem =
                        $"The search itself failed ({fault.GetType().Name}: {fault.Message}). The readings are kept; please report it.",
                },
                token
            );
        }
    }

    private void Publish(Answer answer, CancellationToken token)
    {
        lock (_turn)
        {
            if (token.IsCancellationRequested)
            {
                return;
            }
            Answer = answer;
        }
        changed();
    }
}

using System.Diagnostics;
using NetAudit.Bench.Sessions;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Benchmarks.Answers;

/// <summary>A stretch of time in milliseconds: on the clock, and of the processor, which other programs do not lengthen as much.</summary>
internal readonly record struct Stretch(double Clock, double Processor);

/// <summary>From the moment when a reading was handed over until it was kept and answered.</summary>
internal readonly record struct AnswerTimes(
    Stretch Kept,
    Stretch? First,
    Stretch? Full,
    Stretch? Final
)
{
    /// <summary>Whether the first answer already named the parts that the final one names first, or found nothing wrong as it did.</summary>
    public bool IsSame { get; init; }
}

/// <summary>Hands readings to a job and notes when the page would be told what.</summary>
internal sealed class AnswerTiming : IDisposable
{
    private readonly JobSession _session;
    private readonly ManualResetEventSlim _final = new();
    private long _start;
    private TimeSpan _spent;
    private int _count;
    private AnswerTimes _times;
    private string _named = "";

    public AnswerTiming(JobSession session)
    {
        _session = session;
        session.Changed += Note;
    }

    public AnswerTimes Take(Reading reading)
    {
        _final.Reset();
        _times = default;
        _count = _session.Readings(ReadingPhase.Before).Length + 1;
        _start = Stopwatch.GetTimestamp();
        _spent = Environment.CpuUsage.TotalTime;
        var kept = _session.AddReading(ReadingPhase.Before, reading);
        if (kept.Problem is { } problem)
        {
            throw new InvalidOperationException(problem.Message);
        }
        var written = Elapsed;
        _final.Wait();
        return _times with { Kept = written };
    }

    public void Dispose()
    {
        _session.Changed -= Note;
        _final.Dispose();
    }

    private Stretch Elapsed =>
        new(
            Stopwatch.GetElapsedTime(_start).TotalMilliseconds,
            (Environment.CpuUsage.TotalTime - _spent).TotalMilliseconds
        );

    private static string Named(DiagnosisResult result) =>
        result.Healthy > 0.5 || result.Suspects.IsEmpty
            ? ""
            : string.Join('+', result.Suspects[0].Faults.Select(fault => fault.Part).Order());

    private void Note()
    {
        var answer = _session.Answer(ReadingPhase.Before);
        if (answer.Result?.Readings.Length != _count)
        {
            return;
        }
        var now = Elapsed;
        if (_times.First is null)
        {
            _named = Named(answer.Result);
        }
        _times = _times with
        {
            First = _times.First ?? now,
            Full = _times.Full ?? (answer.Step >= 2 ? now : null),
        };
        if (!answer.IsWorking)
        {
            _times = _times with { Final = now, IsSame = _named == Named(answer.Result) };
            _final.Set();
        }
    }
}

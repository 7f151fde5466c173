using System.Diagnostics;
using NetAudit.Bench.Sessions;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Benchmarks.Answers;

/// <summary>When a reading was kept and answered, milliseconds after it was handed over.</summary>
internal readonly record struct AnswerTimes(double Kept, double First, double Pairs, double Final);

/// <summary>Hands readings to a job and notes when the page would be told what.</summary>
internal sealed class AnswerTiming : IDisposable
{
    private readonly JobSession _session;
    private readonly ManualResetEventSlim _final = new();
    private long _start;
    private int _count;
    private AnswerTimes _times;

    public AnswerTiming(JobSession session)
    {
        _session = session;
        session.Changed += Note;
    }

    public AnswerTimes Take(Reading reading)
    {
        _final.Reset();
        _times = new(double.NaN, double.NaN, double.NaN, double.NaN);
        _count = _session.Readings(ReadingPhase.Before).Length + 1;
        _start = Stopwatch.GetTimestamp();
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

    private double Elapsed => Stopwatch.GetElapsedTime(_start).TotalMilliseconds;

    private void Note()
    {
        var answer = _session.Answer(ReadingPhase.Before);
        if (answer.Result?.Readings.Length != _count)
        {
            return;
        }
        var now = Elapsed;
        _times = _times with
        {
            First = double.IsNaN(_times.First) ? now : _times.First,
            Pairs = double.IsNaN(_times.Pairs) && answer.Faults >= 2 ? now : _times.Pairs,
        };
        if (!answer.IsWorking)
        {
            _times = _times with { Final = now };
            _final.Set();
        }
    }
}

using System.Diagnostics;
using NetAudit.Bench.Sessions;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Benchmarks.Answers;

/// <summary>When a reading was kept and answered, milliseconds after it was handed over.</summary>
internal readonly record struct AnswerTimes(double Kept, double First, double Full, double Final)
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
        if (double.IsNaN(_times.First))
        {
            _named = Named(answer.Result);
        }
        _times = _times with
        {
            First = double.IsNaN(_times.First) ? now : _times.First,
            Full = double.IsNaN(_times.Full) && answer.Step >= 2 ? now : _times.Full,
        };
        if (!answer.IsWorking)
        {
            _times = _times with { Final = now, IsSame = _named == Named(answer.Result) };
            _final.Set();
        }
    }
}

using NetAudit.Bench.Entry;
using NetAudit.Diagnosis;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Bench.Sessions;

/// <summary>What one open tab of a job looks at, beside what all tabs share.</summary>
public sealed class BenchTab(JobSession session)
{
    /// <summary>Raised when the tab looks at something else.</summary>
    public event Action? Moved;

    /// <summary>The job.</summary>
    public JobSession Session { get; } = session;

    /// <summary>Before or after the work.</summary>
    public ReadingPhase Phase { get; private set; } =
        session.Job.State is JobState.Ready or JobState.Closed
            ? ReadingPhase.After
            : ReadingPhase.Before;

    /// <summary>The point that was chosen by hand, or null for the one that is proposed.</summary>
    public ReadingTarget? Chosen { get; private set; }

    /// <summary>The point a value alone is taken at.</summary>
    public ReadingTarget? Target => Chosen ?? Session.Next(Phase);

    /// <summary>The suspect that is looked at: its faults in words, so that it stays the same when the answer is refined.</summary>
    public string? Suspect { get; private set; }

    /// <summary>Chooses a reading; null goes back to the proposed one.</summary>
    public void Choose(ReadingTarget? target)
    {
        Chosen = target;
        Moved?.Invoke();
    }

    /// <summary>Chooses a DC reading of a point.</summary>
    public void Choose(ExpectedReading point) =>
        Choose(ReadingTarget.Of(point, Session.Circuit!.Amplifier!));

    /// <summary>Chooses the point before or after in the order of a bench.</summary>
    public void Step(int by)
    {
        var order = Session.Circuit?.Order ?? [];
        if (order.Length > 0)
        {
            var at = Target?.Expected is { } point ? order.IndexOf(point) : -1;
            Choose(order[(Math.Max(at, by < 0 ? 0 : -1) + by + order.Length) % order.Length]);
        }
    }

    /// <summary>Changes the phase.</summary>
    public void Turn(ReadingPhase phase)
    {
        (Phase, Chosen, Suspect) = (phase, null, null);
        Moved?.Invoke();
    }

    /// <summary>Looks at a suspect, or at none.</summary>
    public void Look(Suspect? suspect)
    {
        Suspect = suspect is null ? null : VerdictWords.Faults(suspect.Faults);
        Moved?.Invoke();
    }
}

using System.Collections.Immutable;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;

namespace NetAudit.Diagnosis;

/// <summary>What the readings say as a whole.</summary>
public enum Verdict
{
    /// <summary>The readings are jointly plausible for a healthy unit.</summary>
    WithinLimits,

    /// <summary>A suspect explains the readings better.</summary>
    Fault,

    /// <summary>Neither the healthy unit nor any suspect explains the readings.</summary>
    Unexplained,
}

/// <summary>A set of faults that together explain the readings.</summary>
/// <param name="Probability">Probability over everything considered, 0 to 1.</param>
/// <param name="Stage">Stage of the first fault.</param>
/// <param name="Faults">The faults.</param>
/// <param name="Equivalents">Sets that no available reading can tell apart from it.</param>
/// <param name="Consistency">Probability that a unit with these faults reads at least as far from the prediction as this one, 0 to 1.</param>
/// <param name="Predicted">What it predicts for each reading, in the order of <see cref="DiagnosisResult.Readings"/>.</param>
/// <param name="Slips">Readings that it takes for slips, by index.</param>
public sealed record Suspect(
    double Probability,
    string Stage,
    ImmutableArray<Fault> Faults,
    ImmutableArray<ImmutableArray<Fault>> Equivalents,
    double Consistency,
    ImmutableArray<double> Predicted,
    ImmutableArray<int> Slips
)
{
    /// <summary>Other parts that it has overloaded, worst first; empty where that was not asked for.</summary>
    public ImmutableArray<OverloadedPart> Overloaded { get; init; } = [];
}

/// <summary>How a stage stands.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Deviation">Largest deviation of its readings given all others, in standard deviations; 0 without readings.</param>
/// <param name="FaultProbability">Probability that a fault sits in it.</param>
public sealed record StageState(string Name, double Deviation, double FaultProbability);

/// <summary>A reading beside what a healthy unit would show.</summary>
/// <param name="Reading">The reading.</param>
/// <param name="Expected">Mean of a healthy unit.</param>
/// <param name="Low">Lower 95 % limit.</param>
/// <param name="High">Upper 95 % limit.</param>
/// <param name="Deviation">(measured - expected) in standard deviations.</param>
/// <param name="GivenOthers">Deviation from what all other readings say, for a healthy unit.</param>
/// <param name="Questionable">True when the leading suspect takes it for a slip.</param>
public sealed record ReadingState(
    Reading Reading,
    double Expected,
    double Low,
    double High,
    double Deviation,
    double GivenOthers,
    bool Questionable
)
{
    /// <summary>What the meter or the ear was at.</summary>
    internal Row Row { get; init; }

    /// <summary>Standard deviation over healthy units with the meter's error at what was read, on the scale of its kind.</summary>
    internal double Sigma { get; init; }

    /// <summary>What was read, on the scale of its kind.</summary>
    internal double Place { get; init; }
}

/// <summary>A reading that could not be weighed.</summary>
/// <param name="Reading">The reading.</param>
/// <param name="Reason">Why not, to follow "left out:".</param>
public sealed record LeftOutReading(Reading Reading, string Reason);

/// <summary>The answer to a set of readings.</summary>
public sealed record DiagnosisResult
{
    /// <summary>The verdict.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>Probability that nothing is wrong.</summary>
    public required double Healthy { get; init; }

    /// <summary>Suspects, most probable first.</summary>
    public required ImmutableArray<Suspect> Suspects { get; init; }

    /// <summary>
    /// Probability that, besides the first suspect, something is at fault that shows in nothing read so far; NaN without a suspect or a
    /// reading, and where only single faults or a first word were asked for. The suspects' probabilities do not contain it: the first is
    /// right as far as the readings go.
    /// </summary>
    public double Unseen { get; init; } = double.NaN;

    /// <summary>Stages, in the order of the amplifier.</summary>
    public required ImmutableArray<StageState> Stages { get; init; }

    /// <summary>Readings that were weighed: by condition and kind, and within these in the order given.</summary>
    public required ImmutableArray<ReadingState> Readings { get; init; }

    /// <summary>Observations that were weighed: what was seen, heard or felt at parts.</summary>
    public ImmutableArray<Reading> Observed { get; init; } = [];

    /// <summary>Readings that could not be weighed; the notes name them too.</summary>
    public ImmutableArray<LeftOutReading> LeftOut { get; init; } = [];

    /// <summary>True when neither a reading nor an observation nor a complaint was there to be weighed.</summary>
    public bool IsEmpty => double.IsNaN(Healthy);

    /// <summary>Readings to take next, best first; empty when none were asked for or nothing more is worth it.</summary>
    public ImmutableArray<NextReading> Next { get; init; } = [];

    /// <summary>What was left out or could not be known, in words.</summary>
    public required ImmutableArray<string> Notes { get; init; }

    /// <summary>Every set of which something is known, once, the healthy one among them; best first.</summary>
    internal ImmutableArray<Evaluation> Evaluations { get; init; } = [];
}

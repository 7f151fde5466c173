using System.Collections.Immutable;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Sessions;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Bench.Entry;

/// <summary>Which point to read next.</summary>
internal static class NextPoint
{
    /// <summary>
    /// The first unread point of the stage most likely at fault, else the first unread point in the order of a bench; null when all are
    /// read.
    /// </summary>
    public static ExpectedReading? Of(
        PreparedCircuit circuit,
        ImmutableArray<(JobReading Kept, Reading Reading)> readings,
        Answer answer
    )
    {
        var read = readings
            .Where(pair => pair.Reading.Kind == ReadingKind.Dc && pair.Reading.RefNode == 0)
            .Select(pair => pair.Reading.Node)
            .ToHashSet();
        var unread = circuit.Order.Where(point => !read.Contains(point.Point.Node)).ToArray();
        var stage = answer.Result is { Verdict: not Diagnosis.Verdict.WithinLimits } result
            ? result
                .Stages.Where(state => state.FaultProbability > 0.3)
                .MaxBy(state => state.FaultProbability)
                ?.Name
            : null;
        return unread.FirstOrDefault(point =>
                stage is not null && circuit.Amplifier!.StageOfNode(point.Point.Node)?.Name == stage
            ) ?? unread.FirstOrDefault();
    }
}

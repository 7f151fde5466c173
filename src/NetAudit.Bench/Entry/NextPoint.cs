using System.Collections.Immutable;
using NetAudit.Bench.Circuits;
using NetAudit.Bench.Sessions;
using NetAudit.Expectations;
using NetAudit.Jobs;

namespace NetAudit.Bench.Entry;

/// <summary>Which reading is proposed.</summary>
internal static class NextPoint
{
    /// <summary>
    /// The most telling reading that needs no other condition than the one the unit is in, DC against chassis; before there is an answer
    /// the first unread point in the order of a bench. Null when all are read.
    /// </summary>
    public static ReadingTarget? Of(
        PreparedCircuit circuit,
        ImmutableArray<(JobReading Kept, Reading Reading)> readings,
        Answer answer
    )
    {
        var told = (answer.Result?.Next ?? [])
            .Select(next => ReadingTarget.Of(next, circuit))
            .FirstOrDefault(target => target.IsPlain && target.Expected is not null);
        if (told is not null)
        {
            return told;
        }
        var read = readings
            .Where(pair => pair.Reading.Kind == ReadingKind.Dc && pair.Reading.RefNode == 0)
            .Select(pair => pair.Reading.Node)
            .ToHashSet();
        return circuit.Order.FirstOrDefault(point => !read.Contains(point.Point.Node)) is { } unread
            ? ReadingTarget.Of(unread, circuit.Amplifier!)
            : null;
    }
}

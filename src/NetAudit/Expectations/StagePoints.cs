using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Expectations;

/// <summary>Expected readings in the order in which a bench goes through an amplifier.</summary>
public static class StagePoints
{
    /// <summary>What a point belongs to that lies in no stage.</summary>
    public const string NoStage = "Elsewhere";

    /// <summary>The readings by stage, along the signal path; stages without a reading are left out.</summary>
    public static ImmutableArray<(string Stage, ImmutableArray<ExpectedReading> Readings)> Group(
        Amplifier amplifier,
        ImmutableArray<ExpectedReading> readings
    )
    {
        var stages = readings.Select(reading => StagesOf(amplifier, reading)).ToArray();
        var groups = amplifier
            .Stages.Select(stage =>
                (stage.Name, readings.Where((_, i) => stages[i].Contains(stage)).ToImmutableArray())
            )
            .Append((NoStage, readings.Where((_, i) => stages[i].Length == 0).ToImmutableArray()));
        return [.. groups.Where(group => group.Item2.Length > 0)];
    }

    /// <summary>The point's short name, which a readings file and a session take: its node's name.</summary>
    public static string ShortName(this Point point, Amplifier amplifier) =>
        amplifier.Circuit.Nodes[point.Node].Name;

    // A point may lie where two stages meet; a part belongs to one.
    private static Stage[] StagesOf(Amplifier amplifier, ExpectedReading reading) =>
        reading.Across is null
            ? [.. amplifier.Stages.Where(stage => stage.Nodes.Contains(reading.Point.Node))]
        : amplifier.StageOf(reading.Across) is { } own ? [own]
        : [];
}

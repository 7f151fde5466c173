using System.Collections.Immutable;
using NetAudit.Circuits;

namespace NetAudit.Expectations;

/// <summary>Expected readings in the order in which a bench goes through an amplifier.</summary>
public static class StagePoints
{
    /// <summary>What a point belongs to that lies in no stage.</summary>
    public const string NoStage = "Elsewhere";

    /// <summary>The readings by stage, along the signal path; stages without a point are left out.</summary>
    public static ImmutableArray<(string Stage, ImmutableArray<ExpectedReading> Readings)> Group(
        Amplifier amplifier,
        ImmutableArray<ExpectedReading> readings
    )
    {
        var groups = amplifier
            .Stages.Select(stage =>
                (
                    stage.Name,
                    readings.Where(r => stage.Nodes.Contains(r.Point.Node)).ToImmutableArray()
                )
            )
            .Append(
                (
                    NoStage,
                    readings
                        .Where(r => !amplifier.Stages.Any(s => s.Nodes.Contains(r.Point.Node)))
                        .ToImmutableArray()
                )
            );
        return [.. groups.Where(group => group.Item2.Length > 0)];
    }

    /// <summary>The point's short name, which a readings file and a session take: its node's name.</summary>
    public static string ShortName(this Point point, Amplifier amplifier) =>
        amplifier.Circuit.Nodes[point.Node].Name;
}

using System.Collections.Immutable;

namespace NetAudit.Diagnosis;

/// <summary>What owners complain of: a fixed list, so that jobs can be counted by it.</summary>
public static class Complaints
{
    /// <summary>The complaints, by the names that files have.</summary>
    public static ImmutableArray<string> All { get; } =
    [
        "no sound",
        "weak",
        "crackles",
        "hums",
        "distorts",
        "blows fuse",
        "one channel dead",
        "intermittent",
    ];
}

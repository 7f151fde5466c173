using System.Collections.Immutable;

namespace NetAudit.Circuits;

/// <summary>A place a probe can reach.</summary>
/// <param name="Name">The sheet's name for it, <c>V1 pin 6 (plate)</c>, or the node's name.</param>
/// <param name="Aliases">Other names that find it, <c>v1.6</c>, <c>p1</c>.</param>
/// <param name="Node">Node index.</param>
public sealed record Point(string Name, ImmutableArray<string> Aliases, int Node);

using System.Collections.Immutable;

namespace NetAudit.Circuits;

/// <summary>An active device with what biases and loads it, or a passive network between two of them, or the supply.</summary>
/// <param name="Name">Unique name.</param>
/// <param name="IsSupply">True for a supply.</param>
/// <param name="Parts">Names of its parts, in netlist order; every part belongs to exactly one stage.</param>
/// <param name="Nodes">Its nodes, chassis not among them, ascending; every other node that is not inside a device belongs to exactly one stage.</param>
/// <param name="Input">Node where the signal enters, or -1.</param>
/// <param name="Output">Node where it leaves, or -1.</param>
public sealed record Stage(
    string Name,
    bool IsSupply,
    ImmutableArray<string> Parts,
    ImmutableArray<int> Nodes,
    int Input,
    int Output
);
